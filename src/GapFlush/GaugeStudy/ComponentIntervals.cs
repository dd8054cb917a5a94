using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.GaugeStudy;

/// <summary>95 % intervals of the standard deviations of a gauge study and of the kinds of place told apart.</summary>
/// <remarks>
/// <para>Method: generalized intervals: each square sum over a chi-square, drawn 6000 times from a fixed seed, makes a set of components, negative ones 0; their quantiles are the ends. In an unbalanced
/// study the sums follow a chi-square only nearly (Satterthwaite) and are taken as independent, which they are nearly.</para>
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
        (CellForm part, CellForm op, CellForm between) = s.Forms;
        VarianceRow repeats = s.PoolsInteraction ? s.Pooled : s.Repeatability;
        double[][] drawn = [.. Enumerable.Range(0, 7).Select(_ => new double[Draws])];
        for (int i = 0; i < Draws; i++)
        {
            // What each square sum is expected to be, by the draw; from it the variances, one after the other.
            double ofParts = Drawn(part), ofOperators = Drawn(op), together = s.PoolsInteraction ? 0 : Drawn(between), error = repeats.SumOfSquares / random.ChiSquare(repeats.DegreesOfFreedom);
            double interaction = s.PoolsInteraction ? 0 : (together - between.Error * error) / between.Own;
            double people = Math.Max(0, (ofOperators - op.Interaction * interaction - op.Error * error) / op.Own), places = Math.Max(0, (ofParts - part.Interaction * interaction - part.Error * error) / part.Own);
            double crossed = Math.Max(0, interaction), measuring = error + crossed + people;
            (drawn[0][i], drawn[1][i], drawn[2][i], drawn[3][i], drawn[4][i], drawn[5][i], drawn[6][i]) = (error, crossed, people, crossed + people, measuring, places, 1.41 * Math.Sqrt(places / measuring));
        }
        Interval[] ends = [.. drawn.Select((d, k) =>
        {
            Array.Sort(d);
            double low = Quantiles.OfSorted(d, (1 - confidence) / 2), high = Quantiles.OfSorted(d, (1 + confidence) / 2);
            return k == 6 ? new Interval(low, high) : new Interval(Math.Sqrt(low), Math.Sqrt(high));
        })];
        return new(ends[0], ends[1], ends[2], ends[3], ends[4], ends[5], ends[6]);

        double Drawn(CellForm form) => form.Value * form.DegreesOfFreedom / random.ChiSquare(form.DegreesOfFreedom);
    }
}
