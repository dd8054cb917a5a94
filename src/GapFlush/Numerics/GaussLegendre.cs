using System.Collections.Concurrent;

namespace GapFlush.Numerics;

/// <summary>Gauss-Legendre quadrature: exact for polynomials of degree 2n - 1.</summary>
/// <remarks>
/// <para>Method: nodes are the roots of the Legendre polynomial by Newton from the usual cosine guess; rules are kept once made.</para>
/// <para>Accuracy: weights sum to 2 and degree 2n - 1 is integrated to 14 digits for n up to 200 (DistributionTests).</para>
/// </remarks>
public static class GaussLegendre
{
    private static readonly ConcurrentDictionary<int, (double[] Nodes, double[] Weights)> Rules = new();

    /// <summary>Nodes and weights on [-1, 1], nodes ascending.</summary>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="n"/> is not positive.</exception>
    public static (double[] Nodes, double[] Weights) Rule(int n)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(n);
        return Rules.GetOrAdd(n, Make);
    }

    /// <summary>The integral of a smooth function over one interval with an n-point rule.</summary>
    public static double Integrate(Func<double, double> function, double from, double to, int n)
    {
        (double[] nodes, double[] weights) = Rule(n);
        double half = (to - from) / 2, middle = (to + from) / 2, sum = 0;
        for (int i = 0; i < n; i++) sum += weights[i] * function(middle + half * nodes[i]);
        return sum * half;
    }

    private static (double[] Nodes, double[] Weights) Make(int n)
    {
        double[] nodes = new double[n], weights = new double[n];
        for (int i = 0; i < (n + 1) / 2; i++)
        {
            double x = Math.Cos(Math.PI * (i + 0.75) / (n + 0.5)), slope = 0;
            for (int step = 0; step < 20; step++)
            {
                (double value, slope) = Legendre(n, x);
                double move = value / slope;
                x -= move;
                if (Math.Abs(move) <= 1e-16) break;
            }
            (_, slope) = Legendre(n, x);
            (nodes[i], nodes[n - 1 - i]) = (-x, x);
            weights[i] = weights[n - 1 - i] = 2 / ((1 - x * x) * slope * slope);
        }
        if (n % 2 == 1) nodes[n / 2] = 0;
        return (nodes, weights);
    }

    private static (double Value, double Slope) Legendre(int n, double x)
    {
        double before = 1, now = x;
        for (int k = 2; k <= n; k++) (before, now) = (now, ((2 * k - 1) * x * now - (k - 1) * before) / k);
        return n == 1 ? (x, 1) : (now, n * (x * now - before) / (x * x - 1));
    }
}
