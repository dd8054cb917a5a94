using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>Which power of positive data is nearest to normal, with its likelihood interval: says whether logarithms (0) or the data as they are (1) will do.</summary>
/// <remarks>
/// <para>Method: profile log-likelihood -n/2 ln(mean squared deviation of the transformed data) + (λ - 1) Σ ln x; its slope brought to zero.</para>
/// <para>No answer (null): a value that is not positive, fewer than three values, no spread, or no maximum between -40 and 40.</para>
/// <para>Source: G. E. P. Box and D. R. Cox, J. R. Statist. Soc. B 26 (1964) 211 [from memory]; NIST/SEMATECH e-Handbook 6.5.2.</para>
/// </remarks>
public sealed class BoxCox
{
    private readonly double[] _logs;
    private readonly double _meanLog;

    private BoxCox(double[] logs, double meanLog) => (_logs, _meanLog) = (logs, meanLog);

    /// <summary>The best power.</summary>
    public double Lambda { get; private init; }

    /// <summary>Powers that the likelihood does not rule out at 95 %.</summary>
    public Interval Interval95 { get; private init; }

    /// <summary>Fits the power.</summary>
    public static BoxCox? Fit(IReadOnlyList<double> values)
    {
        if (values.Count < 3 || values.Any(v => !(v > 0)) || values.All(v => v == values[0])) return null;
        double[] logs = [.. values.Select(v => Math.Log(v))];
        double mean = logs.Average();
        BoxCox start = new([.. logs.Select(v => v - mean)], mean);
        double? root = start.Turn();
        if (root is not double lambda) return null;
        double cut = start.LogLikelihood(lambda) - ChiSquareDistribution.Quantile(0.95, 1) / 2;
        double Edge(int side)
        {
            double step = 0.05;
            while (start.LogLikelihood(lambda + side * step) > cut && step < 100) step *= 2;
            return step >= 100 ? side * double.PositiveInfinity : Roots.Between(l => start.LogLikelihood(l) - cut, lambda, lambda + side * step);
        }
        return new(start._logs, mean) { Lambda = lambda, Interval95 = new(Edge(-1), Edge(1)) };
    }

    /// <summary>The profile log-likelihood of a power.</summary>
    public double LogLikelihood(double lambda)
    {
        // With logarithms about their mean the term (λ - 1) Σ ln x becomes the geometric mean in front.
        double n = _logs.Length;
        return -n / 2 * (Math.Log(Spread(lambda).Value) + 2 * _meanLog);
    }

    /// <summary>p value of a power by the likelihood ratio.</summary>
    public double Probability(double lambda) => ChiSquareDistribution.UpperTail(Math.Max(0, 2 * (LogLikelihood(Lambda) - LogLikelihood(lambda))), 1);

    private double? Turn()
    {
        double Slope(double lambda) => Spread(lambda).Slope;
        for (double reach = 2; reach <= 40; reach *= 2)
        {
            if (Slope(-reach) < 0 && Slope(reach) > 0) return Roots.Between(Slope, -reach, reach);
        }
        return null;
    }

    private (double Value, double Slope) Spread(double lambda)
    {
        int n = _logs.Length;
        double[] z = new double[n], dz = new double[n];
        for (int i = 0; i < n; i++)
        {
            double l = _logs[i], a = lambda * l;
            if (Math.Abs(a) > 0.05)
            {
                double e = Math.Exp(a);
                (z[i], dz[i]) = ((e - 1) / lambda, (a * e - e + 1) / (lambda * lambda));
                continue;
            }
            double term = l, sum = 0, slope = 0;
            for (int k = 1; k <= 14; k++)
            {
                sum += term;
                // d/dλ of λ^(k-1) L^k / k! is the next term's L² worth of it.
                slope += term * l * k / (k + 1);
                term *= a / (k + 1);
            }
            (z[i], dz[i]) = (sum, slope);
        }
        double mean = z.Average(), dMean = dz.Average(), value = 0, turn = 0;
        for (int i = 0; i < n; i++)
        {
            value += (z[i] - mean) * (z[i] - mean);
            turn += 2 * (z[i] - mean) * (dz[i] - dMean);
        }
        return (value / n, turn / n);
    }
}
