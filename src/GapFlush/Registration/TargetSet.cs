using GapFlush.Geometry;
using GapFlush.Numerics;

namespace GapFlush.Registration;

/// <summary>Some targets with the motion that fits them, and how surely they hold it.</summary>
internal sealed class TargetSet
{
    public TargetSet(string[] names, Point3[] from, Point3[] to, double[] sigma)
    {
        (Names, From, To, Sigma) = (names, from, to, sigma);
        Weights = [.. sigma.Select(s => 1 / (s * s))];
        Fit = PointFit.Fit(from, to, Weights);
        double sum = 0;
        for (int i = 0; i < Count; i++) sum += Weights[i] * Fit.Residuals[i] * Fit.Residuals[i];
        Variance = sum / Freedom;
    }

    public string[] Names { get; }

    public Point3[] From { get; }

    public Point3[] To { get; }

    /// <summary>Standard uncertainties along each axis, mm.</summary>
    public double[] Sigma { get; }

    public double[] Weights { get; }

    public PointFit Fit { get; }

    public int Count => From.Length;

    /// <summary>Three coordinates each, less six movements.</summary>
    public int Freedom => Math.Max(1, 3 * Count - 6);

    /// <summary>Variance that the residuals show, in squared sigmas.</summary>
    public double Variance { get; }

    public double UsualSigma => Math.Sqrt(Sigma.Average(s => s * s));

    /// <summary>How far the targets spread, mm: along their widest line, and square to it.</summary>
    public (double Wide, double Narrow) Spread => (Math.Sqrt(Fit.SingularValues[0]), Math.Sqrt(Fit.SingularValues[1]));

    public bool IsNarrow => Spread.Narrow < 0.1 * Spread.Wide;

    public string Residuals => string.Join(", ", Names.Select((n, i) => Invariant($"{n} {Fit.Residuals[i]:0.000}")));

    /// <summary>How surely the motion is held. METHOD.md, eq. 15.</summary>
    public MotionUncertainty Uncertainty
    {
        get
        {
            Point3 centre = Point3.Mean(To);
            double size = Math.Max(1e-9, Math.Sqrt(To.Average(p => Math.Pow(p.DistanceTo(centre), 2))));
            double[,] n = new double[6, 6];
            for (int i = 0; i < Count; i++)
            {
                foreach (Vector3 axis in new[] { new Vector3(1, 0, 0), new(0, 1, 0), new(0, 0, 1) })
                {
                    double[] j = MotionUncertainty.Movement(To[i] - centre, axis, size);
                    for (int a = 0; a < 6; a++)
                        for (int b = 0; b < 6; b++) n[a, b] += Weights[i] / Math.Max(1, Variance) * j[a] * j[b];
                }
            }
            return new(centre, size, Cholesky.Factor(n) is double[,] factor ? Cholesky.Inverse(factor) : n, 0);
        }
    }

    /// <summary>The same targets but some.</summary>
    public TargetSet Without(params int[] left)
    {
        int[] rest = [.. Enumerable.Range(0, Count).Where(k => !left.Contains(k))];
        return new([.. rest.Select(k => Names[k])], [.. rest.Select(k => From[k])], [.. rest.Select(k => To[k])], [.. rest.Select(k => Sigma[k])]);
    }
}
