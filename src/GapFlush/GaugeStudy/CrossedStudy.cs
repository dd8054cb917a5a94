using GapFlush.Capability;
using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.GaugeStudy;

/// <summary>Crossed gauge study: every operator measures every part several times. Part and operator are random.</summary>
/// <remarks>
/// <para>Method: two-way analysis of variance with interaction; F of part and operator against the interaction; components from expected mean
/// squares. Intervals: exact for repeatability (chi-square), modified large sample for the measuring, generalized for every component. METHOD.md, eq. 1 to 7.</para>
/// <para>Unequal numbers of trials, missing cells: components by restricted maximum likelihood (<see cref="CrossedVarianceComponents"/>); intervals from the square sums of cell means; the rows of
/// parts, operators and interaction are those sums times <see cref="EffectiveTrials"/>. METHOD.md, eq. 8 to 10.</para>
/// <para>No answer (null from <see cref="Of"/>): fewer than two parts or two operators, nothing read twice, parts that no operator links, too few cells to tell the interaction, or an unbalanced study whose
/// repeats do not differ at all.</para>
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

    // What an unbalanced study has instead of the balanced analysis.
    private sealed record Unbalanced(VarianceRow WeightedInteraction, Lazy<GaugeComponents?> With, Lazy<GaugeComponents?> Without, CellForms Forms);

    private Unbalanced? _unbalanced;

    /// <summary>Number of parts.</summary>
    public int Parts { get; }

    /// <summary>Number of operators.</summary>
    public int Operators { get; }

    /// <summary>Trials of each part by each operator; of an unbalanced study the fewest, which is 0 where a cell is missing.</summary>
    public int Trials { get; }

    /// <summary>Trials that each part by each operator is worth: their number, or its harmonic mean where they differ.</summary>
    public double EffectiveTrials { get; }

    /// <summary>True where every operator measured every part equally often.</summary>
    public bool IsBalanced => _unbalanced is null;

    /// <summary>Pairs of part and operator without a reading.</summary>
    public int MissingCells { get; private init; }

    /// <summary>Parts.</summary>
    public VarianceRow Part { get; }

    /// <summary>Operators.</summary>
    public VarianceRow Operator { get; }

    /// <summary>Operators by parts.</summary>
    public VarianceRow Interaction { get; }

    /// <summary>Repeats.</summary>
    public VarianceRow Repeatability { get; }

    /// <summary>Interaction and repeats as one.</summary>
    public VarianceRow Pooled => new((_unbalanced?.WeightedInteraction ?? Interaction).SumOfSquares + Repeatability.SumOfSquares, Interaction.DegreesOfFreedom + Repeatability.DegreesOfFreedom);

    /// <summary>F of parts against the interaction, with p value.</summary>
    public TestResult PartTest => Ratio(Part, Interaction);

    /// <summary>F of operators against the interaction, with p value.</summary>
    public TestResult OperatorTest => Ratio(Operator, Interaction);

    /// <summary>F of the interaction against repeats, with p value; exact in an unbalanced study too, by least squares with the number of readings as weight.</summary>
    public TestResult InteractionTest => Ratio(_unbalanced?.WeightedInteraction ?? Interaction, Repeatability);

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

    /// <summary>Components from mean squares as they come out, negative ones included; of a balanced study.</summary>
    public (double Repeatability, double Interaction, double Operator, double Part) RawComponents =>
        (Repeatability.MeanSquare, (Interaction.MeanSquare - Repeatability.MeanSquare) / EffectiveTrials, (Operator.MeanSquare - Interaction.MeanSquare) / (Parts * EffectiveTrials), (Part.MeanSquare - Interaction.MeanSquare) / (Operators * EffectiveTrials));

    /// <summary>Components with interaction, negative ones set to 0; of an unbalanced study by restricted maximum likelihood.</summary>
    public GaugeComponents WithInteraction => _unbalanced?.With.Value ?? new(RawComponents.Repeatability, Math.Max(0, RawComponents.Interaction), Math.Max(0, RawComponents.Operator), Math.Max(0, RawComponents.Part));

    /// <summary>Components with the interaction pooled into repeatability.</summary>
    public GaugeComponents WithoutInteraction => _unbalanced?.Without.Value ?? new(Pooled.MeanSquare, 0, Math.Max(0, (Operator.MeanSquare - Pooled.MeanSquare) / (Parts * EffectiveTrials)), Math.Max(0, (Part.MeanSquare - Pooled.MeanSquare) / (Operators * EffectiveTrials)));

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
    /// <remarks>Repeatability exact; the whole by the modified large-sample method with the components of expected mean squares, of an unbalanced study by draws (<see cref="ComponentIntervals"/>).</remarks>
    public (Interval Repeatability, Interval Measuring) SdIntervals(double confidence = 0.95)
    {
        double alpha = 1 - confidence;
        VarianceRow error = PoolsInteraction ? Pooled : Repeatability;
        Interval Chi(VarianceRow row) => new(row.SumOfSquares / ChiSquareDistribution.Quantile(1 - alpha / 2, row.DegreesOfFreedom), row.SumOfSquares / ChiSquareDistribution.Quantile(alpha / 2, row.DegreesOfFreedom));
        Interval exact = Chi(error);
        if (!IsBalanced) return (new(Math.Sqrt(exact.Low), Math.Sqrt(exact.High)), (confidence == 0.95 ? Intervals : ComponentIntervals.Of(this, confidence)).Measuring);
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
        return (new(Math.Sqrt(exact.Low), Math.Sqrt(exact.High)), new(Math.Sqrt(Math.Max(0, estimate - Math.Sqrt(low))), Math.Sqrt(estimate + Math.Sqrt(high))));
    }

    /// <summary>The square sums that intervals are drawn from, on the scale of cell means.</summary>
    internal (CellForm Part, CellForm Operator, CellForm Interaction) Forms
    {
        get
        {
            if (_unbalanced is not null) return _unbalanced.Forms.For(Components);
            double n = EffectiveTrials;
            CellForm Form(VarianceRow row, int own) => new(row.SumOfSquares / n, row.DegreesOfFreedom, (double)own * row.DegreesOfFreedom, row.DegreesOfFreedom, row.DegreesOfFreedom / n);
            return (Form(Part, Operators), Form(Operator, Parts), Form(Interaction, 1));
        }
    }

    /// <summary>Analyses a study, balanced or not; null where it is none, and <paramref name="reason"/> then says why.</summary>
    public static CrossedStudy? Of(IReadOnlyList<(string Part, string Operator, double Value)> readings, out string? reason)
    {
        string[] parts = [.. readings.Select(r => r.Part).Distinct()], operators = [.. readings.Select(r => r.Operator).Distinct()];
        int p = parts.Length, o = operators.Length;
        double offset = readings.Count == 0 ? 0 : readings[0].Value;
        ILookup<(string, string), double> byPair = readings.ToLookup(r => (r.Part, r.Operator), r => r.Value - offset);
        List<CellForms.Cell> cells = [];
        double error = 0, ranges = 0, inverse = 0;
        for (int i = 0; i < p; i++)
        {
            for (int j = 0; j < o; j++)
            {
                double[] values = [.. byPair[(parts[i], operators[j])]];
                if (values.Length == 0) continue;
                SampleSummary s = new(values);
                cells.Add(new(i, j, s.Count, s.Mean));
                (error, ranges, inverse) = (error + s.SumOfSquares, ranges + s.Range, inverse + 1.0 / s.Count);
            }
        }
        reason = Refusal(p, o, [.. cells], readings.Count);
        if (reason is not null) return null;
        int fewest = cells.Count < p * o ? 0 : cells.Min(c => c.Count), missing = p * o - cells.Count;
        bool balanced = missing == 0 && cells.All(c => c.Count == fewest);
        double n = balanced ? fewest : cells.Count / inverse;
        double[] partMeans = [.. Enumerable.Range(0, p).Select(i => cells.Where(c => c.Part == i).Average(c => c.Mean))], operatorMeans = [.. Enumerable.Range(0, o).Select(j => cells.Where(c => c.Operator == j).Average(c => c.Mean))];
        VarianceRow repeats = new(error, readings.Count - cells.Count);
        if (balanced)
        {
            double grand = partMeans.Average(), interaction = cells.Sum(c => n * Math.Pow(c.Mean - partMeans[c.Part] - operatorMeans[c.Operator] + grand, 2));
            return new(p, o, fewest, n, new(o * n * partMeans.Sum(v => (v - grand) * (v - grand)), p - 1), new(p * n * operatorMeans.Sum(v => (v - grand) * (v - grand)), o - 1), new(interaction, (p - 1) * (o - 1)), repeats, operatorMeans, partMeans, ranges / cells.Count);
        }
        if (!(error > 0))
        {
            reason = "no repeat differs from its fellows, so an unbalanced study cannot be analysed; write the readings down with all the digits that the gauge shows";
            return null;
        }
        CellForms.Cell[] all = [.. cells];
        Unbalanced unbalanced = new(CellForms.WeightedInteraction(all, p, o), new(() => Fitted(interaction: true)), new(() => Fitted(interaction: false)), CellForms.Of(all, p, o));
        (double part, double op, double between) = unbalanced.Forms.Values;
        CrossedStudy study = new(p, o, fewest, n, new(n * part, p - 1), new(n * op, o - 1), new(n * between, cells.Count - p - o + 1), repeats, operatorMeans, partMeans, ranges / cells.Count) { _unbalanced = unbalanced, MissingCells = missing };
        if ((study.PoolsInteraction ? unbalanced.Without : unbalanced.With).Value is not null) return study;
        reason = "the fit of the variances does not settle; read every place equally often with every inspector";
        return null;

        GaugeComponents? Fitted(bool interaction) => CrossedVarianceComponents.Fit(readings, interaction) is { } v ? new(v.Within, v.Interaction, v.Second, v.First) : null;
    }

    private static string? Refusal(int parts, int operators, CellForms.Cell[] cells, int readings)
    {
        if (parts < 2) return Invariant($"there is {(parts == 0 ? "no place" : "only one place")} measured; a study needs two or more");
        if (operators < 2) return Invariant($"there is {(operators == 0 ? "no inspector" : "only one inspector")}; a crossed study needs two or more");
        if (readings == cells.Length) return "nothing is measured twice by the same inspector, so repeatability cannot be told";
        string missing = Invariant($"{parts * operators - cells.Length} of {parts * operators} pairs of place and inspector have no reading");
        int lots = CellForms.Lots(cells, parts, operators);
        if (lots > 1) return Invariant($"{missing}, and no inspector links the {lots} lots that the places fall into, so inspectors cannot be told from places; let one inspector read places of every lot");
        if (cells.Length - parts - operators + 1 < 1) return $"{missing}, so few are left that inspectors cannot be told from what they do at single places; let each inspector read more of the places";
        return null;
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
