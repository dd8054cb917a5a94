using System.CommandLine;
using System.CommandLine.Invocation;
using GapFlush.Cli.Commands;
using GapFlush.Cli.Commands.Record;
using GapFlush.Cli.Running;

namespace GapFlush.Cli;

/// <summary>The gapflush command: gap, flush, seal and drainage of aircraft doors, from readings to verdicts, maps and reports.</summary>
public static class Program
{
    /// <summary>Runs the command on the process's own streams.</summary>
    public static Task<int> Main(string[] args) => Run(args, Console.Out, Console.Error);

    /// <summary>Runs the command with the given streams.</summary>
    /// <returns>0 done and nothing outside; 1 done and something outside, undecided or missing; 2 input or call wrong; 3 a fault of the program; 130 cancelled.</returns>
    public static async Task<int> Run(string[] args, TextWriter output, TextWriter error)
    {
        ParseResult parse = Root().Parse(args);
        if (parse.Action is ParseErrorAction)
        {
            foreach (System.CommandLine.Parsing.ParseError problem in parse.Errors) error.WriteLine($"gapflush: {problem.Message}");
            string command = parse.CommandResult.Command is RootCommand ? "" : $" {parse.CommandResult.Command.Name}";
            error.WriteLine($"See 'gapflush{command} --help' for what it takes, with an example.");
            return ExitCode.InputWrong;
        }
        try
        {
            return await parse.InvokeAsync(new InvocationConfiguration { EnableDefaultExceptionHandler = false, Output = output, Error = error }).ConfigureAwait(false);
        }
        catch (RefusedException refused)
        {
            foreach (string line in refused.Lines) error.WriteLine(line);
            return ExitCode.InputWrong;
        }
        catch (OperationCanceledException)
        {
            error.WriteLine("gapflush: stopped before the end; nothing was written.");
            return ExitCode.Cancelled;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            error.WriteLine($"gapflush: {fault.Message} Check that the path exists, that it can be read or written, and that there is room on the disk.");
            return ExitCode.InputWrong;
        }
        catch (Exception fault)
        {
            error.WriteLine($"gapflush: a fault of the program: {fault.GetType().Name}: {fault.Message}");
            error.WriteLine("Nothing was written. Please report it with the command and the input; GAPFLUSH_TRACE=1 shows where it happened.");
            if (Environment.GetEnvironmentVariable("GAPFLUSH_TRACE") == "1") error.WriteLine(fault);
            return ExitCode.ProgramFault;
        }
    }

    private static RootCommand Root() => new("GapFlush: do the doors fit? Gap, flush, seals and drainage of aircraft doors, from readings to verdicts, maps and reports.\n"
        + "A measuring aid: door security, water ingress and airworthiness are judged on approved data by licensed staff.")
    {
        InspectCommand.Create(),
        CheckCommand.Create(),
        MapCommand.Create(),
        DemoCommand.Create(),
        DrainCommand.Create(),
        CapabilityCommand.Create(),
        TrendCommand.Create(),
        RevisionsCommand.Create(),
        GaugeStudyCommand.Create(),
        SectionCommand.Create(),
        RecordCommand.Create(),
        ServeCommand.Create(),
        AdjustCommand.Create(),
    };
}
