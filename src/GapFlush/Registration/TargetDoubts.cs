using GapFlush.Numerics;

namespace GapFlush.Registration;

/// <summary>Which targets the others contradict.</summary>
/// <remarks>
/// <para>Method: each target, and each pair where six are left a majority, is left out in turn. It is wrong where its miss, in terms of what it and the others' motion are known to, has a chance below
/// 0.001 among all targets, the others agree with one another, and no other choice leaves them nearly as well agreed. With four others that hold all six movements it is left out; with fewer it is named,
/// and nothing is registered. METHOD.md, eq. 4.</para>
/// </remarks>
/// <param name="Good">The targets that are used.</param>
/// <param name="LeftOut">A line for each that is not.</param>
/// <param name="Refusal">Why none can be used, or null.</param>
internal sealed record TargetDoubts(TargetSet Good, IReadOnlyList<string> LeftOut, string? Refusal)
{
    // Common practice, no source: once in a thousand sets of good targets; the others to three sigmas; any other choice leaves four times the variance.
    private const double Chance = 0.001, AgreedVariance = 9, ClearlyWorse = 4;

    private const int LeastOthers = 4;

    /// <summary>Looks for wrong targets.</summary>
    public static TargetDoubts Of(TargetSet all)
    {
        for (int count = 1; count <= 2 && all.Count - count >= 3; count++)
        {
            (int[] Left, TargetSet Others)[] choices = [.. Choices(all.Count, count).Select(left => (left, all.Without(left))).Where(c => c.Item2.Fit.IsDetermined)];
            if (choices.Length == 0) continue;
            (int[] left, TargetSet rest) = choices.MinBy(c => c.Others.Variance);
            double runnerUp = choices.Where(c => c.Left != left).Select(c => c.Others.Variance).DefaultIfEmpty(double.PositiveInfinity).Min();
            bool clear = rest.Variance <= AgreedVariance && runnerUp > ClearlyWorse * Math.Max(1, rest.Variance) && left.All(i => IsContradicted(all, i, rest));
            if (!clear) continue;
            string[] lines = [.. left.Select(i => Invariant($"target {all.Names[i]} lies {Miss(all, i, rest):0.00} mm from where the {rest.Count} others put it, which agree within {rest.Fit.Rms:0.000} mm"))];
            if (rest.Count >= LeastOthers && !rest.IsNarrow) return new(rest, [.. lines.Select((l, k) => $"{l}: it was left out; measure it again, or mend its place in the targets or in datums.csv (or take {all.Names[left[k]]} out of the targets)")], null);
            // Three that agree may agree by chance, and nobody could tell.
            if (count == 1) return new(all, [], $"{lines[0]}; with so few targets that may be the wrong one or not: measure it again, or give five or more{(rest.IsNarrow ? " that do not lie along one line" : "")}");
        }
        return new(all, [], null);
    }

    /// <summary>Two targets whose names, exchanged, leave less than a fifth of the residual.</summary>
    public static (string, string, double)? Swapped(TargetSet all)
    {
        (string, string, double)? best = null;
        foreach (int[] pair in Choices(all.Count, 2))
        {
            Geometry.Point3[] swapped = [.. all.To];
            (swapped[pair[0]], swapped[pair[1]]) = (swapped[pair[1]], swapped[pair[0]]);
            double rms = PointFit.Fit(all.From, swapped, all.Weights).Rms;
            if (rms < all.Fit.Rms / 5 && (best is null || rms < best.Value.Item3)) best = (all.Names[pair[0]], all.Names[pair[1]], rms);
        }
        return best;
    }

    private static IEnumerable<int[]> Choices(int n, int count) =>
        count == 1 ? Enumerable.Range(0, n).Select(i => new[] { i }) : Enumerable.Range(0, n).SelectMany(i => Enumerable.Range(i + 1, n - i - 1).Select(k => new[] { i, k }));

    private static double Miss(TargetSet all, int i, TargetSet rest) => rest.Fit.Motion.Of(all.From[i]).DistanceTo(all.To[i]);

    private static bool IsContradicted(TargetSet all, int i, TargetSet rest)
    {
        Geometry.Vector3 miss = rest.Fit.Motion.Of(all.From[i]) - all.To[i];
        double own = all.Sigma[i] * Math.Sqrt(Math.Max(1, rest.Variance));
        // Along the miss, one direction; the chance is taken as that of three, since the direction was chosen by it.
        double known = double.Hypot(own, rest.Uncertainty.At(all.To[i], miss.ToUnit())), square = miss.Dot(miss) / (known * known);
        double chance = rest.Variance > 1 ? FisherDistribution.UpperTail(square / 3, 3, rest.Freedom) : ChiSquareDistribution.UpperTail(square, 3);
        return chance < Chance / all.Count;
    }
}
