using GapFlush.Capability;
using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.GaugeStudy;

/// <summary>A row of the table of variance.</summary>
/// <param name="SumOfSquares">Sum of squares.</param>
/// <param name="DegreesOfFreedom">Degrees of freedom.</param>
public readonly record struct VarianceRow(double SumOfSquares, int DegreesOfFreedom)
{
    /// <summary>Mean square.</summary>
    public double MeanSquare => SumOfSquares / DegreesOfFreedom;
}

/// <summary>Variances of a gauge study, none of them negative, and what they mean for the gauge.</summary>
/// <param name="Repeatability">Same operator, same part again.</param>
/// <param name="Interaction">Operators differ more on some parts than on others.</param>
/// <param name="Operator">Operators differ on all parts alike.</param>
/// <param name="Part">The parts themselves.</param>
public sealed record GaugeComponents(double Repeatability, double Interaction, double Operator, double Part)
{
    /// <summary>Variance from operators, interaction included.</summary>
    public double Reproducibility => Operator + Interaction;

    /// <summary>Variance of the measuring as a whole.</summary>
    public double Measuring => Repeatability + Reproducibility;

    /// <summary>Variance of everything.</summary>
    public double Total => Measuring + Part;

    /// <summary>1.41 times the parts' standard deviation over that of the measuring: how many kinds of part the gauge tells apart.</summary>
    public double CategoriesUnrounded => 1.41 * Math.Sqrt(Part / Measuring);

    /// <summary>The same rounded down, at least 1.</summary>
    public int Categories => double.IsFinite(CategoriesUnrounded) ? Math.Max(1, (int)Math.Min(1e6, Math.Floor(CategoriesUnrounded))) : 1;

    /// <summary>Share of the total variance, per cent.</summary>
    public double PercentContribution(double variance) => 100 * variance / Total;

    /// <summary>Share of the total standard deviation, per cent; shares do not add up to 100.</summary>
    public double PercentStudy(double variance) => 100 * Math.Sqrt(variance / Total);

    /// <summary>Six standard deviations over the width of the limits, per cent.</summary>
    public static double PercentTolerance(double variance, double tolerance) => 600 * Math.Sqrt(variance) / tolerance;
}

/// <summary>Average-and-range figures of a gauge study, one standard deviation each.</summary>
/// <param name="Equipment">Repeatability.</param>
/// <param name="Appraiser">Reproducibility.</param>
/// <param name="Part">The parts.</param>
public sealed record AverageRange(double Equipment, double Appraiser, double Part)
{
    /// <summary>The measuring as a whole.</summary>
    public double Measuring => Math.Sqrt(Equipment * Equipment + Appraiser * Appraiser);

    /// <summary>Everything.</summary>
    public double Total => Math.Sqrt(Measuring * Measuring + Part * Part);

    /// <summary>Share of the total standard deviation, per cent; shares do not add up to 100.</summary>
    public double PercentOfTotal(double sd) => 100 * sd / Total;

    /// <summary>Number of categories told apart, not rounded.</summary>
    public double CategoriesUnrounded => 1.41 * Part / Measuring;
}

/// <summary>Crossed gauge study: every operator measures every part several times. Part and operator are random.</summary>
/// <remarks>
/// <para>Method: two-way analysis of variance with interaction; F of part and operator against the interaction; components from expected mean
/// squares. Intervals: exact for repeatability (chi-square), modified large sample for the measuring, generalized for every component. Unequal numbers of trials: analysis of
/// unweighted cell means, with the harmonic mean for the number of trials. METHOD.md, eq. 1 to 8.</para>
/// <para>No answer (null from <see cref="Of"/>): fewer than two parts or two operators, nothing read twice, or a part that an operator did not measure.</para>
/// <para>Source: the usual average-range and ANOVA forms of measurement system analysis handbooks [from memory]; R. K. Burdick, C. M. Borror and D. C. Montgomery,
/// J. Quality Technology 35 (2003) 342, for the intervals [from memory].</para>
/// </remarks>
public sealed class CrossedStudy
{
    private readonly IReadOnlyList<double> _operatorMeans, _partMeans;

    private CrossedStudy(int parts, int operators, int trials, double effectiveTrials, VarianceRow part, VarianceRow op, VarianceRow interaction, VarianceRow repeatability, IReadOnlyList<double> operatorMeans, IReadOnlyList<double> partMeans, double meanRange)
    {
        (Parts, Operators, Trials, Part, Operator, Interaction, Repeatability) = (parts, operators, trials, part, op, interaction, repeatability);
        (_operatorMeans, _partMeans, MeanRange, EffectiveTrials) = (operatorMeans, partMeans, meanRange, effectiveTrials);
    }

    /// <summary>Number of parts.</summary>
    public int Parts { get; }

    /// <summary>Number of operators.</summary>
    public int Operators { get; }

    /// <summary>Trials of each part by each operator; of an unbalanced study the fewest.</summary>
    public int Trials { get; }

    /// <summary>Trials that each part by each operator is worth: their number, or its harmonic mean where they differ.</summary>
    public double EffectiveTrials { get; }

    /// <summary>True where every operator measured every part equally often.</summary>
    public bool IsBalanced => EffectiveTrials == Trials;

    /// <summary>Parts.</summary>
    public VarianceRow Part { get; }

    /// <summary>Operators.</summary>
    public VarianceRow Operator { get; }

    /// <summary>Operators by parts.</summary>
    public VarianceRow Interaction { get; }

    /// <summary>Repeats.</summary>
    public VarianceRow Repeatability { get; }

    /// <summary>Interaction and repeats as one.</summary>
    public VarianceRow Pooled => new(Interaction.SumOfSquares + Repeatability.SumOfSquares, Interaction.DegreesOfFreedom + Repeatability.DegreesOfFreedom);

    /// <summary>F of parts against the interaction, with p value.</summary>
    public TestResult PartTest => Ratio(Part, Interaction);

    /// <summary>F of operators against the interaction, with p value.</summary>
    public TestResult OperatorTest => Ratio(Operator, Interaction);

    /// <summary>F of the interaction against repeats, with p value.</summary>
    public TestResult InteractionTest => Ratio(Interaction, Repeatability);

    /// <summary>F of parts against the pooled row, with p value.</summary>
    public TestResult PooledPartTest => Ratio(Part, Pooled);

    /// <summary>F of operators against the pooled row, with p value.</summary>
    public TestResult PooledOperatorTest => Ratio(Operator, Pooled);

    /// <summary>True where the interaction is not seen (p above 0.25), so that it is pooled with the repeats: common practice, no source.</summary>
    public bool PoolsInteraction => !(InteractionTest.Probability <= 0.25);

    /// <summary>Mean of the ranges of the trials.</summary>
    public double MeanRange { get; }

    /// <summary>Largest less smallest operator mean.</summary>
    public double OperatorRange => _operatorMeans.Max() - _operatorMeans.Min();

    /// <summary>Largest less smallest part mean.</summary>
    public double PartRange => _partMeans.Max() - _partMeans.Min();

    /// <summary>Components from mean squares as they come out, negative ones included.</summary>
    public (double Repeatability, double Interaction, double Operator, double Part) RawComponents =>
        (Repeatability.MeanSquare, (Interaction.MeanSquare - Repeatability.MeanSquare) / EffectiveTrials, (Operator.MeanSquare - Interaction.MeanSquare) / (Parts * EffectiveTrials), (Part.MeanSquare - Interaction.MeanSquare) / (Operators * EffectiveTrials));

    /// <summary>Components with interaction, negative ones set to 0.</summary>
    public GaugeComponents WithInteraction => new(RawComponents.Repeatability, Math.Max(0, RawComponents.Interaction), Math.Max(0, RawComponents.Operator), Math.Max(0, RawComponents.Part));

    /// <summary>Components with the interaction pooled into repeatability.</summary>
    public GaugeComponents WithoutInteraction => new(Pooled.MeanSquare, 0, Math.Max(0, (Operator.MeanSquare - Pooled.MeanSquare) / (Parts * EffectiveTrials)), Math.Max(0, (Part.MeanSquare - Pooled.MeanSquare) / (Operators * EffectiveTrials)));

    /// <summary>The components to go by: pooled where <see cref="PoolsInteraction"/> says so.</summary>
    public GaugeComponents Components => PoolsInteraction ? WithoutInteraction : WithInteraction;

    /// <summary>95 % intervals of every component.</summary>
    public ComponentIntervals Intervals => _intervals ??= ComponentIntervals.Of(this);

    private ComponentIntervals? _intervals;

    /// <summary>Average-and-range figures with exact constants; of a balanced study only.</summary>
    public AverageRange AverageRange() => AverageRange(1 / RangeDistribution.Mean(Trials), 1 / ChartConstants.D2Star(Operators, 1), 1 / ChartConstants.D2Star(Parts, 1));

    /// <summary>Average-and-range figures with the four-decimal constants of printed forms, to agree with a study worked by hand; null where the forms
    /// have no constant for this many trials, operators or parts.</summary>
    public AverageRange? AverageRangeAsPrinted() =>
        Printed(PrintedTrials, Trials) is double k1 && Printed(PrintedOperators, Operators) is double k2 && Printed(PrintedParts, Parts) is double k3 ? AverageRange(k1, k2, k3) : null;

    /// <summary>Average-and-range figures with given constants, such as those of a printed form.</summary>
    /// <param name="k1">From mean range to repeatability.</param>
    /// <param name="k2">From range of operator means to reproducibility.</param>
    /// <param name="k3">From range of part means to part variation.</param>
    public AverageRange AverageRange(double k1, double k2, double k3)
    {
        double ev = MeanRange * k1, spread = OperatorRange * k2;
        return new(ev, Math.Sqrt(Math.Max(0, spread * spread - ev * ev / (Parts * Trials))), PartRange * k3);
    }

    /// <summary>95 % intervals of the standard deviations of repeatability and of the measuring as a whole.</summary>
    /// <remarks>Repeatability exact; the whole by the modified large-sample method with the components of expected mean squares.</remarks>
    public (Interval Repeatability, Interval Measuring) SdIntervals(double confidence = 0.95)
    {
        double alpha = 1 - confidence;
        VarianceRow error = PoolsInteraction ? Pooled : Repeatability;
        Interval Chi(VarianceRow row) => new(row.SumOfSquares / ChiSquareDistribution.Quantile(1 - alpha / 2, row.DegreesOfFreedom), row.SumOfSquares / ChiSquareDistribution.Quantile(alpha / 2, row.DegreesOfFreedom));
        // σ²(measuring) = Σ c MS with all coefficients positive: operators 1/(p n), interaction (p-1)/(p n), repeats (n-1)/n.
        (double C, VarianceRow Row)[] terms = PoolsInteraction
            ? [(1.0 / (Parts * EffectiveTrials), Operator), (1 - 1.0 / (Parts * EffectiveTrials), Pooled)]
            : [(1.0 / (Parts * EffectiveTrials), Operator), ((Parts - 1.0) / (Parts * EffectiveTrials), Interaction), ((EffectiveTrials - 1.0) / EffectiveTrials, Repeatability)];
        double estimate = terms.Sum(t => t.C * t.Row.MeanSquare), low = 0, high = 0;
        foreach ((double c, VarianceRow row) in terms)
        {
            Interval chi = Chi(row);
            low += Math.Pow(c * (row.MeanSquare - chi.Low), 2);
            high += Math.Pow(c * (chi.High - row.MeanSquare), 2);
        }
        Interval repeat = Chi(error);
        return (new(Math.Sqrt(repeat.Low), Math.Sqrt(repeat.High)), new(Math.Sqrt(Math.Max(0, estimate - Math.Sqrt(low))), Math.Sqrt(estimate + Math.Sqrt(high))));
    }

    /// <summary>Analyses a balanced study; null where it is none, and <paramref name="reason"/> then says why.</summary>
    public static CrossedStudy? Of(IReadOnlyList<(string Part, string Operator, double Value)> readings, out string? reason)
    {
        string[] parts = [.. readings.Select(r => r.Part).Distinct()], operators = [.. readings.Select(r => r.Operator).Distinct()];
        ILookup<(string, string), double> cells = readings.ToLookup(r => (r.Part, r.Operator), r => r.Value);
        reason = null;
        if (parts.Length < 2) reason = Invariant($"there is {(parts.Length == 0 ? "no place" : "only one place")} measured; a study needs two or more");
        else if (operators.Length < 2) reason = Invariant($"there is {(operators.Length == 0 ? "no inspector" : "only one inspector")}; a crossed study needs two or more");
        else
        {
            int[] counts = [.. parts.SelectMany(p => operators.Select(o => cells[(p, o)].Count()))];
            if (counts.Min() == 0) reason = Invariant($"{counts.Count(c => c == 0)} of {counts.Length} pairs of place and inspector have no reading");
            else if (counts.Max() < 2) reason = "nothing is measured twice by the same inspector, so repeatability cannot be told";
        }
        if (reason is not null) return null;
        int p = parts.Length, o = operators.Length, fewest = int.MaxValue;
        double offset = readings[0].Value;
        double[,] mean = new double[p, o];
        double error = 0, ranges = 0, inverse = 0;
        for (int i = 0; i < p; i++)
        {
            for (int j = 0; j < o; j++)
            {
                SampleSummary s = new([.. cells[(parts[i], operators[j])].Select(v => v - offset)]);
                (mean[i, j], error, ranges, inverse, fewest) = (s.Mean, error + s.SumOfSquares, ranges + s.Range, inverse + 1.0 / s.Count, Math.Min(fewest, s.Count));
            }
        }
        double n = p * o / inverse;
        if (Math.Abs(n - fewest) < 1e-9) n = fewest;
        double[] partMeans = [.. Enumerable.Range(0, p).Select(i => Enumerable.Range(0, o).Average(j => mean[i, j]))];
        double[] operatorMeans = [.. Enumerable.Range(0, o).Select(j => Enumerable.Range(0, p).Average(i => mean[i, j]))];
        double grand = partMeans.Average(), interaction = 0;
        for (int i = 0; i < p; i++)
        {
            for (int j = 0; j < o; j++) interaction += n * Math.Pow(mean[i, j] - partMeans[i] - operatorMeans[j] + grand, 2);
        }
        return new(p, o, fewest, n, new(o * n * partMeans.Sum(v => (v - grand) * (v - grand)), p - 1), new(p * n * operatorMeans.Sum(v => (v - grand) * (v - grand)), o - 1),
            new(interaction, (p - 1) * (o - 1)), new(error, readings.Count - p * o), operatorMeans, partMeans, ranges / (p * o));
    }

    // From 2 upwards [common practice, from memory].
    private static readonly double[] PrintedTrials = [0.8862, 0.5908], PrintedOperators = [0.7071, 0.5231];
    private static readonly double[] PrintedParts = [0.7071, 0.5231, 0.4467, 0.4030, 0.3742, 0.3534, 0.3375, 0.3249, 0.3146];

    private static double? Printed(double[] table, int count) => count - 2 < table.Length ? table[count - 2] : null;

    private static TestResult Ratio(VarianceRow above, VarianceRow below)
    {
        double f = above.MeanSquare / below.MeanSquare;
        return new(f, double.IsNaN(f) ? double.NaN : FisherDistribution.UpperTail(f, above.DegreesOfFreedom, below.DegreesOfFreedom));
    }
}
