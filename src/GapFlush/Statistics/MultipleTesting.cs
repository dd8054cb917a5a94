namespace GapFlush.Statistics;

/// <summary>p values adjusted because many places were looked at.</summary>
/// <remarks>
/// <para>An adjusted p value below 0.05 means: with all such places called, at most 5 % of the calls are false on average (Benjamini-Hochberg), or
/// at most one time in twenty is any call false (Holm, Hochberg, Bonferroni).</para>
/// <para>Source: Y. Benjamini and Y. Hochberg, J. R. Statist. Soc. B 57 (1995) 289; S. Holm, Scand. J. Statist. 6 (1979) 65; Y. Hochberg, Biometrika 75 (1988) 800 [all from memory].</para>
/// </remarks>
public static class MultipleTesting
{
    /// <summary>Benjamini and Hochberg: holds the share of false discoveries.</summary>
    public static double[] BenjaminiHochberg(IReadOnlyList<double> p) => FromLargest(p, (value, rank, n) => value * n / rank);

    /// <summary>Hochberg's step-up: holds the chance of any false discovery, tests independent.</summary>
    public static double[] Hochberg(IReadOnlyList<double> p) => FromLargest(p, (value, rank, n) => value * (n - rank + 1));

    /// <summary>Holm's step-down: holds the chance of any false discovery.</summary>
    public static double[] Holm(IReadOnlyList<double> p)
    {
        double[] adjusted = new double[p.Count];
        double worst = 0;
        int rank = 0;
        foreach (int i in Order(p))
        {
            worst = Math.Max(worst, Math.Min(1, p[i] * (p.Count - rank++)));
            adjusted[i] = worst;
        }
        return adjusted;
    }

    /// <summary>Bonferroni: each p value times their number.</summary>
    public static double[] Bonferroni(IReadOnlyList<double> p) => [.. p.Select(v => Math.Min(1, v * p.Count))];

    private static double[] FromLargest(IReadOnlyList<double> p, Func<double, int, int, double> adjust)
    {
        double[] adjusted = new double[p.Count];
        int[] order = Order(p);
        double least = 1;
        for (int rank = p.Count; rank > 0; rank--)
        {
            least = Math.Min(least, adjust(p[order[rank - 1]], rank, p.Count));
            adjusted[order[rank - 1]] = least;
        }
        return adjusted;
    }

    private static int[] Order(IReadOnlyList<double> p) => [.. Enumerable.Range(0, p.Count).OrderBy(i => p[i])];
}
