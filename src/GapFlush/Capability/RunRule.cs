namespace GapFlush.Capability;

/// <summary>A pattern of points on a control chart that chance alone rarely makes.</summary>
/// <remarks>
/// <para>Method: z = (x - centre) / sigma. All comparisons are strict; a rule is met at every point that completes it.</para>
/// <para>Source: Western Electric, Statistical Quality Control Handbook (1956); L. S. Nelson, J. Quality Technology 16 (1984) 237 [both from memory]; ISO 7870-2
/// lists such patterns [not opened].</para>
/// </remarks>
public sealed class RunRule
{
    private readonly Func<IReadOnlyList<double>, double[], int, bool> _met;

    private RunRule(string code, string words, Func<IReadOnlyList<double>, double[], int, bool> met) => (Code, Words, _met) = (code, words, met);

    /// <summary>A short code for choosing the rule.</summary>
    public string Code { get; }

    /// <summary>The rule in words.</summary>
    public string Words { get; }

    /// <summary>One point beyond three sigma.</summary>
    public static RunRule BeyondThreeSigma { get; } = new("beyond-3", "one point beyond 3 sigma", (_, z, i) => Math.Abs(z[i]) > 3);

    /// <summary>Six points steadily rising or falling.</summary>
    public static RunRule SixRisingOrFalling { get; } = new("trend-6", "six points in a row, each higher than the last, or each lower", (x, _, i) =>
        i >= 5 && (All(i - 4, i, j => x[j] > x[j - 1]) || All(i - 4, i, j => x[j] < x[j - 1])));

    /// <summary>Fourteen points alternating up and down.</summary>
    public static RunRule FourteenAlternating { get; } = new("alternating-14", "fourteen points in a row going up and down in turn", (x, _, i) =>
        i >= 13 && All(i - 11, i, j => Math.Sign(x[j] - x[j - 1]) * Math.Sign(x[j - 1] - x[j - 2]) < 0));

    /// <summary>Fifteen points within one sigma.</summary>
    public static RunRule FifteenWithinOneSigma { get; } = new("within-1", "fifteen points in a row all within 1 sigma", (_, z, i) => i >= 14 && All(i - 14, i, j => Math.Abs(z[j]) < 1));

    /// <summary>Eight points none of them within one sigma, on either side.</summary>
    public static RunRule EightOutsideOneSigma { get; } = new("outside-1", "eight points in a row all beyond 1 sigma, on either side", (_, z, i) => i >= 7 && All(i - 7, i, j => Math.Abs(z[j]) > 1));

    /// <summary>So many points in a row on one side of the centre; a point on the centre breaks the run.</summary>
    public static RunRule SameSide(int count) => new(Invariant($"same-side-{count}"), Invariant($"{count} points in a row on one side of the centre"), (_, z, i) =>
        i >= count - 1 && OnOneSide(z.AsSpan(i - count + 1, count)));

    /// <summary>Two of three points beyond two sigma on one side.</summary>
    /// <param name="pointItself">True when the point at which it is reported must be beyond, as is usual.</param>
    public static RunRule TwoOfThreeBeyondTwoSigma(bool pointItself = true) => Beyond("2-of-3-beyond-2", "two of three points beyond 2 sigma on one side", 2, 3, 2, pointItself);

    /// <summary>Four of five points beyond one sigma on one side.</summary>
    /// <param name="pointItself">True when the point at which it is reported must be beyond, as is usual.</param>
    public static RunRule FourOfFiveBeyondOneSigma(bool pointItself = true) => Beyond("4-of-5-beyond-1", "four of five points beyond 1 sigma on one side", 4, 5, 1, pointItself);

    /// <summary>The four rules of Western Electric.</summary>
    public static IReadOnlyList<RunRule> WesternElectric { get; } = [BeyondThreeSigma, TwoOfThreeBeyondTwoSigma(), FourOfFiveBeyondOneSigma(), SameSide(8)];

    /// <summary>The eight rules of Nelson.</summary>
    public static IReadOnlyList<RunRule> Nelson { get; } =
        [BeyondThreeSigma, SameSide(9), SixRisingOrFalling, FourteenAlternating, TwoOfThreeBeyondTwoSigma(), FourOfFiveBeyondOneSigma(), FifteenWithinOneSigma, EightOutsideOneSigma];

    /// <summary>Points at which the rule is met, numbered from 1.</summary>
    public IReadOnlyList<int> Find(IReadOnlyList<double> values, double centre, double sigma)
    {
        // A centre and sigma of few decimals must not put a point that lies on a line beside it: 2e-12 of a sigma counts as on the line.
        double[] z = new double[values.Count];
        for (int i = 0; i < z.Length; i++) z[i] = Snapped((values[i] - centre) / sigma);
        return Signals.Where(values.Count, i => _met(values, z, i));
    }

    /// <summary>The words.</summary>
    public override string ToString() => Words;

    private static double Snapped(double z)
    {
        double whole = Math.Round(z);
        return Math.Abs(z - whole) < 2e-12 * Math.Max(1, Math.Abs(z)) ? whole : z;
    }

    private static bool OnOneSide(ReadOnlySpan<double> z)
    {
        bool above = z[^1] > 0;
        // From the last one back: most runs end soon.
        for (int j = z.Length - 1; j >= 0; j--)
        {
            if (above ? !(z[j] > 0) : !(z[j] < 0)) return false;
        }
        return true;
    }

    private static bool All(int first, int last, Func<int, bool> condition)
    {
        for (int j = first; j <= last; j++)
        {
            if (!condition(j)) return false;
        }
        return true;
    }

    private static RunRule Beyond(string code, string words, int least, int window, double sigmas, bool pointItself) => new(code, words, (_, z, i) =>
    {
        if (i < window - 1) return false;
        foreach (int side in (int[])[1, -1])
        {
            int hits = 0;
            for (int j = i - window + 1; j <= i; j++)
            {
                if (side * z[j] > sigmas) hits++;
            }
            if (hits >= least && (!pointItself || side * z[i] > sigmas)) return true;
        }
        return false;
    });
}
