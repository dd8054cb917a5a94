using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.GaugeStudy;

/// <summary>95 % intervals of the standard deviations of a gauge study and of the kinds of place told apart.</summary>
/// <remarks>
/// <para>Method: generalized intervals: each mean square over a chi-square, drawn 6000 times from a fixed seed, makes a set of components, negative ones 0; their quantiles are the ends.</para>
/// <para>Accuracy: coverage by simulation in CrossedStudyTests.</para>
/// <para>Source: S. Weerahandi, JASA 88 (1993) 899; M. Hamada and S. Weerahandi, J. Quality Technology 32 (2000) 241 [both from memory].</para>
/// </remarks>
/// <param name="Repeatability">Repeatability.</param>
/// <param name="Interaction">Inspector by place.</param>
/// <param name="Inspector">Inspectors.</param>
/// <param name="Reproducibility">Inspectors and interaction together.</param>
/// <param name="Measuring">The measuring as a whole.</param>
/// <param name="Places">The places.</param>
/// <param name="Categories">Kinds of place told apart, not rounded.</param>
public sealed record ComponentIntervals(Interval Repeatability, Interval Interaction, Interval Inspector, Interval Reproducibility, Interval Measuring, Interval Places, Interval Categories)
{
    private const int Draws = 6000;

    internal static ComponentIntervals Of(CrossedStudy s, double confidence = 0.95)
    {
        SeededRandom random = new(22514);
        double n = s.EffectiveTrials;
        double[][] drawn = [.. Enumerable.Range(0, 7).Select(_ => new double[Draws])];
        for (int i = 0; i < Draws; i++)
        {
            double part = Drawn(s.Part), op = Drawn(s.Operator), interaction, error;
            if (s.PoolsInteraction) interaction = error = Drawn(s.Pooled);
            else (interaction, error) = (Drawn(s.Interaction), Drawn(s.Repeatability));
            double together = Math.Max(0, (interaction - error) / n), people = Math.Max(0, (op - interaction) / (s.Parts * n)), places = Math.Max(0, (part - interaction) / (s.Operators * n)), measuring = error + together + people;
            (drawn[0][i], drawn[1][i], drawn[2][i], drawn[3][i], drawn[4][i], drawn[5][i], drawn[6][i]) = (error, together, people, together + people, measuring, places, 1.41 * Math.Sqrt(places / measuring));
        }
        Interval[] ends = [.. drawn.Select((d, k) =>
        {
            Array.Sort(d);
            double low = Quantiles.OfSorted(d, (1 - confidence) / 2), high = Quantiles.OfSorted(d, (1 + confidence) / 2);
            return k == 6 ? new Interval(low, high) : new Interval(Math.Sqrt(low), Math.Sqrt(high));
        })];
        return new(ends[0], ends[1], ends[2], ends[3], ends[4], ends[5], ends[6]);

        double Drawn(VarianceRow row) => row.SumOfSquares / random.ChiSquare(row.DegreesOfFreedom);
    }
}
