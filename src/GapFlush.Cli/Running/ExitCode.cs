namespace GapFlush.Cli.Running;

/// <summary>What the command tells the shell.</summary>
internal static class ExitCode
{
    /// <summary>Done, and nothing is outside limits.</summary>
    public const int AllWithin = 0;

    /// <summary>Done, and something is outside, undecided or missing.</summary>
    public const int NotAllWithin = 1;

    /// <summary>The input or the call is wrong.</summary>
    public const int InputWrong = 2;

    /// <summary>A fault of the program.</summary>
    public const int ProgramFault = 3;

    /// <summary>Stopped by the user (128 + SIGINT, as shells count).</summary>
    public const int Cancelled = 130;
}
