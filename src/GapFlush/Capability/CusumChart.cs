namespace GapFlush.Capability;

/// <summary>Tabular cumulative sum chart: two sums that grow while values stay above or below target.</summary>
/// <remarks>
/// <para>Method: z = (x - target) / σ; C⁺ = max(0, C⁺ + z - k), C⁻ = max(0, C⁻ - z - k). A signal is a sum strictly above h; it is not reset.</para>
/// <para>Source: E. S. Page, Biometrika 41 (1954) 100 [from memory]; NIST/SEMATECH e-Handbook 6.3.2.3; ISO 7870-4 [not opened].</para>
/// </remarks>
public sealed class CusumChart
{
    /// <summary>Runs the chart over values in order of making.</summary>
    /// <param name="values">The values.</param>
    /// <param name="target">Target, or the mean in control.</param>
    /// <param name="sigma">Standard deviation of single values in control, positive.</param>
    /// <param name="slack">k, in standard deviations: half the shift to be seen.</param>
    /// <param name="decision">h, in standard deviations.</param>
    /// <param name="headStart">Where both sums start, as a fraction of h; 0 for none.</param>
    public CusumChart(IReadOnlyList<double> values, double target, double sigma, double slack = 0.5, double decision = 5, double headStart = 0)
    {
        if (!(sigma > 0)) throw new ArgumentOutOfRangeException(nameof(sigma), sigma, "The standard deviation is positive.");
        Decision = decision;
        double[] up = new double[values.Count], down = new double[values.Count];
        double high = headStart * decision, low = high;
        for (int i = 0; i < up.Length; i++)
        {
            double z = (values[i] - target) / sigma;
            up[i] = high = Math.Max(0, high + z - slack);
            down[i] = low = Math.Max(0, low - z - slack);
        }
        (Upper, Lower) = (up, down);
    }

    /// <summary>h.</summary>
    public double Decision { get; }

    /// <summary>C⁺ after each value.</summary>
    public IReadOnlyList<double> Upper { get; }

    /// <summary>C⁻ after each value.</summary>
    public IReadOnlyList<double> Lower { get; }

    // A sum of decimals that comes to just h must not pass it by rounding.
    private double Bar => Decision * (1 + 1e-12);

    /// <summary>Values at which C⁺ is strictly above h, numbered from 1.</summary>
    public IReadOnlyList<int> SignalsUpper => Signals.Where(Upper, v => v > Bar);

    /// <summary>Values at which C⁻ is strictly above h, numbered from 1.</summary>
    public IReadOnlyList<int> SignalsLower => Signals.Where(Lower, v => v > Bar);
}
