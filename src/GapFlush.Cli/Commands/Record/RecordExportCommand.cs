using System.CommandLine;
using System.Text;
using GapFlush.Cli.Running;
using GapFlush.Store;

namespace GapFlush.Cli.Commands.Record;

/// <summary>Writes the whole record as text.</summary>
internal static class RecordExportCommand
{
    private static readonly Option<string?> Out = new("--out") { Description = "File to write; without it, standard output.", HelpName = "F.csv" };

    public static Command Create()
    {
        Command command = new("export", "Writes the whole record, corrections and chain included, as comma-separated text that 'record add' takes back to an identical record.\nExample: gapflush record export --record shop.sqlite --out shop.csv")
        {
            CommonOptions.Record, Out, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        string? path = parse.GetValue(Out);
        if (path is null)
        {
            if (talk.Json) throw new RefusedException("the export itself goes to standard output; give --out F.csv with --json.");
            RecordLoading.With(parse, mayCreate: false, store => store.Export(talk.Output));
            return ExitCode.AllWithin;
        }
        using MemoryStream content = new();
        Head head = RecordLoading.With(parse, mayCreate: false, store =>
        {
            using StreamWriter writer = new(content, new UTF8Encoding(false), leaveOpen: true);
            return store.Export(writer);
        });
        Disk.Write(path, content.ToArray());
        if (talk.Json) talk.Output.WriteLine(JsonText.Write(JsonText.Object(("file", path), ("files", head.Files), ("entries", head.Entries), ("head", head.Hash))));
        else talk.Say(Invariant($"{path}: {head.Entries} entries of {head.Files} files. Head {head.Hash}"));
        return ExitCode.AllWithin;
    }
}
