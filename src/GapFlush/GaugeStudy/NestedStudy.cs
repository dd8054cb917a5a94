using GapFlush.Statistics;

namespace GapFlush.GaugeStudy;

/// <summary>A spread with its degrees of freedom.</summary>
/// <param name="Sd">Standard deviation.</param>
/// <param name="DegreesOfFreedom">Degrees of freedom.</param>
public readonly record struct PooledSpread(double Sd, int DegreesOfFreedom);

/// <summary>Three levels of gauge spread: within an occasion, between occasions of a run, between runs of the same piece.</summary>
/// <remarks>
/// <para>Method: level 1 pools the standard deviations of the occasions; level 2 those of the occasion averages within a run; level 3 those of the run
/// averages of a piece.</para>
/// <para>Source: NIST/SEMATECH e-Handbook 2.4.4 and 2.6.1.</para>
/// </remarks>
/// <param name="WithinOccasion">Repeatability.</param>
/// <param name="BetweenOccasions">Occasion averages within a run.</param>
/// <param name="BetweenRuns">Run averages of a piece.</param>
public sealed record NestedStudy(PooledSpread WithinOccasion, PooledSpread BetweenOccasions, PooledSpread BetweenRuns)
{
    /// <summary>Analyses occasions, each with its average and the standard deviation of so many readings.</summary>
    public static NestedStudy Of(IReadOnlyList<(string Piece, string Run, double Average, double Sd)> occasions, int readingsPerOccasion)
    {
        IReadOnlyList<IReadOnlyList<double>> runs = [.. occasions.GroupBy(o => (o.Piece, o.Run)).Select(g => (IReadOnlyList<double>)[.. g.Select(o => o.Average)])];
        IReadOnlyList<IReadOnlyList<double>> pieces = [.. occasions.GroupBy(o => o.Piece).Select(p => (IReadOnlyList<double>)[.. p.GroupBy(o => o.Run).Select(r => r.Average(o => o.Average))])];
        return new(new(Math.Sqrt(occasions.Average(o => o.Sd * o.Sd)), occasions.Count * (readingsPerOccasion - 1)), Pool(runs), Pool(pieces));
    }

    private static PooledSpread Pool(IReadOnlyList<IReadOnlyList<double>> groups)
    {
        double squares = 0;
        int df = 0;
        foreach (IReadOnlyList<double> g in groups)
        {
            squares += new SampleSummary([.. g]).SumOfSquares;
            df += g.Count - 1;
        }
        return new(Math.Sqrt(squares / df), df);
    }
}
