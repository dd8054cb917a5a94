namespace GapFlush.Inputs;

/// <summary>Tells a mistake that stands on many lines once: a wrong door code is in every row of its sheet.</summary>
internal static class RepeatedProblems
{
    private const int Shown = 8;

    /// <summary>The problems, those that differ in nothing but the line joined into the first of them, which names the other lines.</summary>
    public static IReadOnlyList<InputProblem> Joined(IEnumerable<InputProblem> problems) =>
    [
        .. problems.GroupBy(p => p with { Line = 0 }).Select(same =>
        {
            InputProblem first = same.First();
            int[] others = [.. same.Skip(1).Select(p => p.Line).Where(l => l != first.Line).Distinct()];
            if (others.Length == 0) return first;
            string lines = string.Join(", ", others.Take(Shown)) + (others.Length > Shown ? Invariant($" and {others.Length - Shown} more") : "");
            return first with { Remedy = $"{first.Remedy} The same on line{(others.Length > 1 ? "s" : "")} {lines}." };
        }),
    ];
}
