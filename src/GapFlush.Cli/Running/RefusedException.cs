using GapFlush.Inputs;

namespace GapFlush.Cli.Running;

/// <summary>The input or the call is wrong: carries every line the user needs in order to mend it. Ends the command with exit code 2.</summary>
internal sealed class RefusedException : Exception
{
    /// <summary>Refuses a call with one sentence.</summary>
    public RefusedException(string message)
        : base(message) => Lines = [$"gapflush: {message}"];

    /// <summary>Refuses input files with all their problems.</summary>
    public RefusedException(IReadOnlyList<InputProblem> problems)
        : base(problems[0].ToString()) =>
        Lines = [.. problems.Select(p => p.ToString()), problems.Count == 1 ? "gapflush: 1 problem; nothing was written." : $"gapflush: {problems.Count} problems; nothing was written."];

    /// <summary>What to print on standard error.</summary>
    public IReadOnlyList<string> Lines { get; }
}
