using GapFlush.Cli;

namespace GapFlush.Product.Tests.Commands;

/// <summary>One run of the command: arguments in, exit code and both streams out.</summary>
internal sealed record CommandRun(int ExitCode, string Output, string Error)
{
    public static async Task<CommandRun> Of(params string[] args)
    {
        using StringWriter output = new(), error = new();
        int code = await Program.Run(args, output, error);
        return new CommandRun(code, output.ToString().ReplaceLineEndings("\n"), error.ToString().ReplaceLineEndings("\n"));
    }
}
