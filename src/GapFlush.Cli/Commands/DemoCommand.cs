using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.Demo;

namespace GapFlush.Cli.Commands;

/// <summary>Writes the example plan and data.</summary>
internal static class DemoCommand
{
    public static Command Create()
    {
        Argument<string> folder = new("DIR") { Description = "Folder to write to; made if it does not exist. It is then itself a fit plan folder." };
        Command command = new("demo", "Write the example: the fit plan of the Dabchick D4, an aircraft of our own invention, with the readings of 30 builds.\n\n"
            + "Example:\n  gapflush demo dabchick")
        {
            folder, CommonOptions.Quiet,
        };
        command.SetAction(parse =>
        {
            string path = parse.GetRequiredValue(folder);
            IReadOnlyList<DemoFile> files = Dabchick.Write();
            Disk.WriteAll(path, files.Select(f => (f.Path, f.Bytes)));
            new Talk(parse).Say($"Written to {path}: {files.Count} files. Its README.md says what to try.");
            return ExitCode.AllWithin;
        });
        return command;
    }
}
