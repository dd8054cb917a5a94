namespace GapFlush.Statistics;

/// <summary>Sample quantiles in the nine definitions of Hyndman and Fan.</summary>
/// <remarks>Source: R. J. Hyndman and Y. Fan, The American Statistician 50 (1996) 361 [from memory]. GapFlush itself uses type 7 for medians and
/// type 6 (on (n+1)p) for the distribution-free percentiles of capability.</remarks>
public static class Quantiles
{
    // n p + m lands on a whole number up to rounding; 4e-12 is far above that rounding and far below a step that matters.
    private const double Fuzz = 4e-12;

    /// <summary>The p quantile.</summary>
    /// <param name="values">The sample, any order; at least one value.</param>
    /// <param name="p">Probability, 0 to 1.</param>
    /// <param name="type">Definition, 1 to 9.</param>
    public static double Of(IEnumerable<double> values, double p, int type = 7)
    {
        double[] sorted = [.. values];
        Array.Sort(sorted);
        return OfSorted(sorted, p, type);
    }

    /// <summary>The p quantile of a sample already in ascending order.</summary>
    /// <exception cref="ArgumentException">The sample is empty, the probability is not in [0, 1], or the type is unknown.</exception>
    public static double OfSorted(IReadOnlyList<double> sorted, double p, int type = 7)
    {
        if (sorted.Count == 0) throw new ArgumentException("A quantile needs a value.", nameof(sorted));
        if (!(p >= 0 && p <= 1)) throw new ArgumentOutOfRangeException(nameof(p), p, "A probability lies between 0 and 1.");
        int n = sorted.Count;
        (double a, double b) = type switch
        {
            1 or 2 or 3 => (0.0, 0.0),
            4 => (0, 1),
            5 => (0.5, 0.5),
            6 => (0, 0),
            7 => (1, 1),
            8 => (1.0 / 3, 1.0 / 3),
            9 => (3.0 / 8, 3.0 / 8),
            _ => throw new ArgumentOutOfRangeException(nameof(type), type, "The definitions are numbered 1 to 9."),
        };
        double m = type switch { 1 or 2 => 0, 3 => -0.5, _ => a + p * (1 - a - b) };
        double place = n * p + m, below = Math.Floor(place + Fuzz), rest = place - below;
        if (Math.Abs(rest) < Fuzz) rest = 0;
        double weight = type switch
        {
            1 => rest == 0 ? 0 : 1,
            2 => rest == 0 ? 0.5 : 1,
            3 => rest == 0 && (long)below % 2 == 0 ? 0 : 1,
            _ => rest,
        };
        int j = (int)below;
        double low = sorted[Math.Clamp(j - 1, 0, n - 1)], high = sorted[Math.Clamp(j, 0, n - 1)];
        return weight == 0 ? low : weight == 1 ? high : low + weight * (high - low);
    }
}
