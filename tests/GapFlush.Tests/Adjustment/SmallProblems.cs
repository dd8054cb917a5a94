using GapFlush.Adjustment;
using GapFlush.Numerics;

namespace GapFlush.Tests.Adjustment;

/// <summary>Random problems small enough to try every place of every adjuster.</summary>
internal static class SmallProblems
{
    /// <summary>Makes a problem of two to four adjusters with a few places each; about a third cannot have every value inside.</summary>
    public static FitProblem Make(SeededRandom random)
    {
        int k = 2 + random.Below(3), n = 6 + random.Below(10);
        List<FitProblem.Quantity> quantities = [.. Enumerable.Range(0, n).Select(_ => new FitProblem.Quantity(random.Normal(0, 0.5), [.. Enumerable.Range(0, k).Select(_ => random.Between(-1, 1))]))];
        List<FitProblem.Asked> asked = [];
        double width = random.Between(0.4, 1.4);
        for (int q = 0; q < n; q++)
        {
            asked.Add(new(q, null, -width, random.Below(6) == 0 ? double.PositiveInfinity : width, random.Between(0, 0.15)));
            if (random.Below(2) == 0) asked.Add(new(q, null, double.NegativeInfinity, width * random.Between(0.7, 1.1), random.Between(0, 0.1)));   // a step beside a flush
        }
        if (random.Below(3) == 0) asked.Add(new(-1, [.. Enumerable.Range(0, Math.Min(n, 4))], double.NegativeInfinity, 2 * width, random.Between(0, 0.2)));
        if (random.Below(4) == 0) asked[0] = asked[0] with { IsSetApart = true };
        List<FitProblem.Position> positions = [.. Enumerable.Range(0, k).Select(_ =>
        {
            double step = 0.1 * (1 + random.Below(4));
            int places = 2 + random.Below(4);
            return new FitProblem.Position(-places * step, places * step, [.. Enumerable.Range(-places, 2 * places + 1).Select(i => i * step)]);
        })];
        double[][] bending = random.Below(3) == 0 ? [[.. Enumerable.Range(0, k).Select(j => j % 2 == 0 ? 0.5 : -0.5)]] : [];
        return new(quantities, asked, positions, bending, 0.15);
    }

    /// <summary>Every combination of places.</summary>
    public static IEnumerable<double[]> All(FitProblem problem)
    {
        int[] at = new int[problem.Moves];
        while (true)
        {
            double[] moves = [.. at.Select((i, j) => problem.Positions[j].Values![i])];
            if (problem.IsCompatible(moves)) yield return moves;
            int next = 0;
            while (next < at.Length && ++at[next] == problem.Positions[next].Values!.Length) at[next++] = 0;
            if (next == at.Length) yield break;
        }
    }
}
