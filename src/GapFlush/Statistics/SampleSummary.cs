using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>What a sample says of itself: mean, spread and shape.</summary>
/// <remarks>
/// <para>Method: sums about the first value in double-double arithmetic, so that data with many constant leading digits keep theirs.</para>
/// <para>No answer (NaN): a quantity that needs more values than there are, or spread where all values are equal.</para>
/// <para>Accuracy: NIST StRD univariate sets to the digits that their double input allows (StatisticsReferenceTests).</para>
/// </remarks>
public sealed class SampleSummary
{
    private readonly double[] _values;
    private double[]? _sorted;
    private RepeatedValues? _repeated;

    /// <summary>Summarises a sample.</summary>
    /// <param name="values">The values, in their order; shape (n), n at least 1.</param>
    /// <exception cref="ArgumentException">There is no value, or one is not a finite number.</exception>
    public SampleSummary(ReadOnlySpan<double> values)
    {
        if (values.Length == 0) throw new ArgumentException("A sample needs a value.", nameof(values));
        foreach (double v in values)
        {
            if (!double.IsFinite(v)) throw new ArgumentException(Invariant($"A sample holds finite numbers, not {v}."), nameof(values));
        }
        _values = values.ToArray();
        double offset = values[0];
        DoubleDouble sum = 0;
        foreach (double v in values) sum += (DoubleDouble)v - offset;
        DoubleDouble mean = sum / Count;
        DoubleDouble squares = 0, products = 0, before = 0;
        double cubes = 0, fourths = 0;
        for (int i = 0; i < values.Length; i++)
        {
            DoubleDouble d = (DoubleDouble)values[i] - offset - mean;
            squares += d * d;
            if (i > 0) products += before * d;
            before = d;
            double x = (double)d;
            cubes += x * x * x;
            fourths += x * x * x * x;
        }
        Mean = (double)(mean + offset);
        SumOfSquares = (double)squares;
        double m2 = SumOfSquares / Count;
        (Skewness, ExcessKurtosis) = (cubes / Count / Math.Pow(m2, 1.5), fourths / Count / (m2 * m2) - 3);
        Lag1 = (double)products / SumOfSquares;
    }

    /// <summary>Number of values.</summary>
    public int Count => _values.Length;

    /// <summary>Arithmetic mean.</summary>
    public double Mean { get; }

    /// <summary>Sum of squared deviations from the mean.</summary>
    public double SumOfSquares { get; }

    /// <summary>Sample variance, divisor n - 1.</summary>
    public double Variance => SumOfSquares / (Count - 1);

    /// <summary>Sample standard deviation, divisor n - 1.</summary>
    public double Sd => Math.Sqrt(Variance);

    /// <summary>Standard deviation with divisor n.</summary>
    public double PopulationSd => Math.Sqrt(SumOfSquares / Count);

    /// <summary>Standard error of the mean.</summary>
    public double MeanStandardError => Sd / Math.Sqrt(Count);

    /// <summary>Smallest value.</summary>
    public double Minimum => Sorted[0];

    /// <summary>Largest value.</summary>
    public double Maximum => Sorted[^1];

    /// <summary>Largest minus smallest.</summary>
    public double Range => Maximum - Minimum;

    /// <summary>Median.</summary>
    public double Median => Quantiles.OfSorted(Sorted, 0.5);

    /// <summary>Median absolute deviation from the median, no scale factor.</summary>
    public double MedianAbsoluteDeviation
    {
        get
        {
            double median = Median;
            double[] away = [.. _values.Select(v => Math.Abs(v - median))];
            Array.Sort(away);
            return Quantiles.OfSorted(away, 0.5);
        }
    }

    /// <summary>Skewness m3 / m2^1.5 with population moments.</summary>
    public double Skewness { get; }

    /// <summary>Excess kurtosis m4 / m2² - 3 with population moments.</summary>
    public double ExcessKurtosis { get; }

    /// <summary>Skewness corrected for a small sample; needs 3 values.</summary>
    public double CorrectedSkewness => Count > 2 ? Skewness * Math.Sqrt((double)Count * (Count - 1)) / (Count - 2) : double.NaN;

    /// <summary>Excess kurtosis corrected for a small sample; needs 4 values.</summary>
    public double CorrectedExcessKurtosis => Count > 3 ? ((Count + 1) * ExcessKurtosis + 6) * (Count - 1) / ((Count - 2.0) * (Count - 3)) : double.NaN;

    /// <summary>Lag-1 autocorrelation: products of successive deviations over the sum of squares.</summary>
    public double Lag1 { get; }

    /// <summary>The values in ascending order.</summary>
    public IReadOnlyList<double> SortedValues => Sorted;

    /// <summary>The values in their own order.</summary>
    public IReadOnlyList<double> Values => _values;

    /// <summary>The values with those that come again sorted out.</summary>
    internal RepeatedValues Repeated => _repeated ??= new(_values, Sorted);

    private double[] Sorted
    {
        get
        {
            if (_sorted is null)
            {
                double[] sorted = [.. _values];
                Array.Sort(sorted);
                _sorted = sorted;
            }
            return _sorted;
        }
    }

    /// <summary>Interval for the mean of normal data (Student's t).</summary>
    public Interval MeanInterval(double confidence = 0.95)
    {
        double half = StudentDistribution.UpperQuantile((1 - confidence) / 2, Count - 1) * MeanStandardError;
        return new(Mean - half, Mean + half);
    }

    /// <summary>Interval for the standard deviation of normal data (chi-square).</summary>
    public Interval SdInterval(double confidence = 0.95)
    {
        double nu = Count - 1, alpha = 1 - confidence;
        return new(Sd * Math.Sqrt(nu / ChiSquareDistribution.Quantile(1 - alpha / 2, nu)), Sd * Math.Sqrt(nu / ChiSquareDistribution.Quantile(alpha / 2, nu)));
    }
}
