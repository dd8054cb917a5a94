using GapFlush.Numerics;

namespace GapFlush.Sections;

/// <summary>One side of a seam from a few touches: the outline whose distance from every ball centre is the ball's radius, with what is known of moulded edges beforehand.</summary>
/// <remarks>
/// <para>Own axes as in <see cref="SideParameters"/>. Method: least squares with prior knowledge, METHOD.md, eq. 33 to 35: (distance - ball radius)/sigma for every touch, (parameter -
/// expected)/spread for every parameter. The offset along the touched surface is thereby exact, on skin, edge and wall alike. The covariance is the inverse of the whole normal matrix: what
/// the touches do not tell keeps the spread it had beforehand, and shows in the uncertainty.</para>
/// <para>No answer (null): no touch of the skin, or no convergence.</para>
/// </remarks>
internal sealed class ProbedSide
{
    private const int MostSteps = 60;
    private static readonly int[] Used = [SideParameters.X, SideParameters.X + 1, SideParameters.Y, SideParameters.Y + 1, SideParameters.Turn, SideParameters.Curvature, SideParameters.Draft, SideParameters.Break1];

    private ProbedSide(SideParameters parameters, double[,] covariance, double chiSquare, double cost, int touches) => (Parameters, Covariance, ChiSquare, Cost, Touches) = (parameters, covariance, chiSquare, cost, touches);

    public SideParameters Parameters { get; }

    /// <summary>Of all parameters; rows of those that are held are zero.</summary>
    public double[,] Covariance { get; }

    /// <summary>Sum of the squared residuals of touches and prior, in units of their spreads: as many as there are touches are expected.</summary>
    public double ChiSquare { get; }

    private double Cost { get; }

    // Lower factor of the covariance of the parameters that are found.
    private double[,]? Spread { get; init; }

    public int Touches { get; }

    /// <summary>Fits a side.</summary>
    /// <param name="touches">Place in own axes, radius of the ball, mm; whether on the edge.</param>
    /// <param name="expected">Value and spread of every parameter beforehand.</param>
    /// <param name="sigmaMm">Standard uncertainty of a touch, mm.</param>
    public static ProbedSide? Fit(IReadOnlyList<(double S, double X, double Y, double Ball, bool IsEdge)> touches, (double Value, double Sd)[] expected, double sigmaMm)
    {
        if (!touches.Any(t => !t.IsEdge)) return null;
        ProbedSide? best = null;
        double[] edges = [.. touches.Where(t => t.IsEdge).Select(t => t.X - t.Ball)];
        foreach (double radius in new[] { 0.3, 1, 2.5 })
        {
            double[] start = [.. expected.Select(e => e.Value)];
            if (edges.Length > 0) start[SideParameters.X] = edges.Max();
            double k = start[SideParameters.Curvature], corner = start[SideParameters.X];
            start[SideParameters.Y] = touches.Where(t => !t.IsEdge).Average(t => t.Y - t.Ball + k * t.X * t.X / 2) - k * corner * corner / 2;
            start[SideParameters.Break1] = radius;
            if (Descend(touches, new(false, start), expected, sigmaMm) is ProbedSide fit && (best is null || fit.Cost < best.Cost)) best = fit;
        }
        return best;
    }

    /// <summary>Parameters as far from those found as so many standard normal numbers say; the opposite numbers give the opposite side.</summary>
    public double[] Drawn(ReadOnlySpan<double> normal)
    {
        double[] drawn = (double[])Parameters.Values.Clone();
        if (Spread is not double[,] spread) return drawn;
        for (int i = 0; i < Used.Length; i++)
            for (int j = 0; j <= i; j++) drawn[Used[i]] += spread[i, j] * normal[j];
        return drawn;
    }

    /// <summary>How many numbers a draw takes.</summary>
    public static int DrawSize => Used.Length;

    private static ProbedSide? Descend(IReadOnlyList<(double S, double X, double Y, double Ball, bool IsEdge)> touches, SideParameters at, (double Value, double Sd)[] expected, double sigma)
    {
        if (!at.IsShape) return null;
        int m = Used.Length;
        (double cost, double[,] a, double[] g) = Assemble(at);
        double damping = 1e-3;
        bool converged = false;
        for (int step = 0; step < MostSteps && !converged; step++)
        {
            double[,] damped = (double[,])a.Clone();
            for (int i = 0; i < m; i++) damped[i, i] *= 1 + damping;
            if (Cholesky.Factor(damped) is not double[,] factor) return null;
            double[] d = Cholesky.Solve(factor, g), moved = (double[])at.Values.Clone();
            for (int i = 0; i < m; i++) moved[Used[i]] -= d[i];
            moved[SideParameters.Break1] = Math.Max(0, moved[SideParameters.Break1]);
            SideParameters trial = new(false, moved);
            if (trial.IsShape && Assemble(trial) is var next && next.Item1 <= cost)
            {
                converged = cost - next.Item1 <= 1e-10 * Math.Max(1, cost);
                (at, cost, a, g, damping) = (trial, next.Item1, next.Item2, next.Item3, damping / 8);
            }
            else if ((damping *= 10) > 1e9)
            {
                converged = true;   // no way down at all: rounding, or a corner of the outline that a touch sits on
            }
        }
        if (!converged || Cholesky.Factor(a) is not double[,] last) return null;
        double[,] small = Cholesky.Inverse(last), covariance = new double[SideParameters.Count, SideParameters.Count];
        for (int i = 0; i < m; i++)
            for (int j = 0; j < m; j++) covariance[Used[i], Used[j]] = small[i, j];
        return new(at, covariance, cost, cost, touches.Count) { Spread = Cholesky.Factor(small) };

        (double, double[,], double[]) Assemble(SideParameters p)
        {
            SideModel model = new(p);
            double[,] normal = new double[m, m];
            double[] gradient = new double[m], all = new double[SideParameters.Count];
            double sum = 0;
            foreach ((double s, double x, double y, double ball, _) in touches)
            {
                double r = (model.At(s, x, y, all).Distance - ball) / sigma;
                sum += r * r;
                for (int i = 0; i < m; i++)
                {
                    double ji = all[Used[i]] / sigma;
                    gradient[i] += ji * r;
                    for (int j = 0; j < m; j++) normal[i, j] += ji * all[Used[j]] / sigma;
                }
            }
            for (int i = 0; i < m; i++)
            {
                (double value, double sd) = expected[Used[i]];
                double off = (p.Values[Used[i]] - value) / sd;
                sum += off * off;
                gradient[i] += off / sd;
                normal[i, i] += 1 / (sd * sd);
            }
            return (sum, normal, gradient);
        }
    }
}
