namespace GapFlush.Inputs;

/// <summary>What came of reading an input: a value, or every problem that stood in the way, and what the reader wants to tell.</summary>
/// <typeparam name="T">The value read.</typeparam>
public sealed class Outcome<T> where T : class
{
    private readonly T? _value;

    private Outcome(T? value, IReadOnlyList<InputProblem> problems, IReadOnlyList<string> notices) =>
        (_value, Problems, Notices) = (value, problems, notices);

    /// <summary>Everything that keeps the input from being used, in the order of the files; empty when it can be used.</summary>
    public IReadOnlyList<InputProblem> Problems { get; }

    /// <summary>What the user should know although nothing is wrong: columns kept but not understood, separators found by looking.</summary>
    public IReadOnlyList<string> Notices { get; }

    /// <summary>True when there is a value.</summary>
    public bool IsUsable => Problems.Count == 0;

    /// <summary>The value read.</summary>
    /// <exception cref="InvalidOperationException">There are problems; look at <see cref="IsUsable"/> first.</exception>
    public T Value => _value ?? throw new InvalidOperationException($"The input has {Problems.Count} problem(s); the first is: {Problems[0]}");

    /// <summary>A usable input.</summary>
    public static Outcome<T> Of(T value, IReadOnlyList<string>? notices = null) => new(value, [], notices ?? []);

    /// <summary>An input that cannot be used.</summary>
    /// <exception cref="ArgumentException">No problem is given.</exception>
    public static Outcome<T> Refused(IReadOnlyList<InputProblem> problems, IReadOnlyList<string>? notices = null)
    {
        if (problems.Count == 0) throw new ArgumentException("A refused input needs at least one problem.", nameof(problems));
        return new(null, problems, notices ?? []);
    }
}
