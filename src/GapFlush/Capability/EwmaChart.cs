namespace GapFlush.Capability;

/// <summary>Chart of the exponentially weighted moving average: sees small lasting shifts.</summary>
/// <remarks>
/// <para>Method: e(i) = λ x(i) + (1 - λ) e(i-1), e(0) = target; limits target ± L σ √(λ / (2 - λ)), times √(1 - (1 - λ)^(2i)) where they vary with time.</para>
/// <para>Source: S. W. Roberts, Technometrics 1 (1959) 239 [from memory]; NIST/SEMATECH e-Handbook 6.3.2.4; ISO 7870-6 [not opened].</para>
/// </remarks>
public sealed class EwmaChart
{
    private readonly double _reach, _keep;

    /// <summary>Runs the chart over values in order of making.</summary>
    /// <param name="values">The values.</param>
    /// <param name="target">Target, or the mean in control.</param>
    /// <param name="sigma">Standard deviation of single values in control, positive.</param>
    /// <param name="weight">λ, above 0 and up to 1.</param>
    /// <param name="width">L, limits in standard deviations.</param>
    public EwmaChart(IReadOnlyList<double> values, double target, double sigma, double weight = 0.2, double width = 2.7)
    {
        if (!(sigma > 0)) throw new ArgumentOutOfRangeException(nameof(sigma), sigma, "The standard deviation is positive.");
        if (!(weight > 0 && weight <= 1)) throw new ArgumentOutOfRangeException(nameof(weight), weight, "The weight lies above 0 and up to 1.");
        (Target, _reach, _keep) = (target, width * sigma * Math.Sqrt(weight / (2 - weight)), 1 - weight);
        double[] averages = new double[values.Count];
        double at = target;
        for (int i = 0; i < averages.Length; i++) averages[i] = at = weight * values[i] + _keep * at;
        Averages = averages;
    }

    /// <summary>Target.</summary>
    public double Target { get; }

    /// <summary>The moving average after each value.</summary>
    public IReadOnlyList<double> Averages { get; }

    /// <summary>Upper limit in the long run.</summary>
    public double Upper => Target + _reach;

    /// <summary>Lower limit in the long run.</summary>
    public double Lower => Target - _reach;

    /// <summary>Limits at a value, numbered from 1: narrower at the start.</summary>
    public (double Lower, double Upper) LimitsAt(int number)
    {
        double reach = ReachAt(number);
        return (Target - reach, Target + reach);
    }

    /// <summary>Values at which the average is strictly outside the limits of the long run, numbered from 1.</summary>
    public IReadOnlyList<int> SignalsLongRun => Signals.Where(Averages, v => Math.Abs(v - Target) > _reach);

    /// <summary>Values at which the average is strictly outside the limits that vary with time, numbered from 1.</summary>
    public IReadOnlyList<int> SignalsTimeVarying => Signals.Where(Averages.Count, i => Math.Abs(Averages[i] - Target) > ReachAt(i + 1));

    private double ReachAt(int number) => _reach * Math.Sqrt(1 - Math.Pow(_keep, 2.0 * number));
}
