namespace GapFlush.Numerics;

/// <summary>A straight line y = intercept + slope x that a few wrong points do not carry away.</summary>
/// <remarks>
/// <para>Method: iteratively reweighted least squares to a step of 1e-13 of the values; the scale is held where one is given, else it is the median absolute
/// residual over 0.6745 and found anew every pass. Geometry/METHOD.md, eq. 11 to 13. Bisquare starts from Huber's line where the scale is held and from least squares where it is
/// not, since it has several answers.</para>
/// <para>No answer (null): fewer than two points, all at one x, or no convergence within 20 000 passes.</para>
/// <para>Accuracy: 1e-6 relative against 60-digit fits and R (FitsTests).</para>
/// <para>Source: P. J. Huber, Ann. Math. Stat. 35 (1964) 73; A. Beaton and J. Tukey, Technometrics 16 (1974) 147 [from memory].</para>
/// </remarks>
/// <param name="Intercept">Value at x = 0.</param>
/// <param name="Slope">Rise per unit of x.</param>
/// <param name="Scale">The scale of the residuals: as held, or as found.</param>
/// <param name="Weights">The final weight of each point; 0 where it was rejected.</param>
/// <param name="Iterations">Passes made.</param>
public sealed record RobustLine(double Intercept, double Slope, double Scale, IReadOnlyList<double> Weights, int Iterations)
{
    /// <summary>Fits a robust line.</summary>
    /// <param name="x">Places.</param>
    /// <param name="y">Values.</param>
    /// <param name="loss">How large residuals are taken.</param>
    /// <param name="scale">Standard deviation of a good value, held; or null to find it.</param>
    /// <exception cref="ArgumentException">The arrays differ in length, or the scale is not above zero.</exception>
    public static RobustLine? Fit(double[] x, double[] y, RobustLoss loss, double? scale = null)
    {
        if (x.Length != y.Length) throw new ArgumentException(Invariant($"There are {x.Length} places and {y.Length} values; both must agree."), nameof(y));
        if (scale is double held && !(held > 0)) throw new ArgumentException(Invariant($"A scale of {held} is not above zero."), nameof(scale));
        (double intercept, double slope) = (0, 0);
        if (loss == RobustLoss.Tukey && scale is not null)
        {
            if (Fit(x, y, RobustLoss.Huber, scale) is not RobustLine start) return null;
            (intercept, slope) = (start.Intercept, start.Slope);
        }
        else
        {
            if (RegressionLine.Weighted(x, y, []) is not (double a, double b, double)) return null;
            (intercept, slope) = (a, b);
        }
        double size = y.Max(Math.Abs), reach = x.Max(Math.Abs);
        double[] residuals = new double[x.Length], weights = new double[x.Length];
        for (int pass = 1; pass <= 20_000; pass++)
        {
            for (int i = 0; i < x.Length; i++) residuals[i] = y[i] - intercept - slope * x[i];
            double s = scale ?? RobustWeights.Scale(residuals);
            if (!(s > 1e-15 * size))   // half the points or more lie on the line exactly: there is nothing left to weigh
                return new(intercept, slope, 0, [.. residuals.Select(r => Math.Abs(r) <= 1e-12 * size ? 1.0 : 0.0)], pass);
            for (int i = 0; i < x.Length; i++) weights[i] = RobustWeights.Of(loss, residuals[i], s);
            if (RegressionLine.Weighted(x, y, weights) is not (double a, double b, double)) return null;
            double step = Math.Max(Math.Abs(a - intercept), Math.Abs(b - slope) * reach);
            (intercept, slope) = (a, b);
            if (step <= 1e-13 * size) return new(intercept, slope, s, [.. weights], pass);
        }
        return null;
    }

    /// <summary>The line of least absolute deviations: no other has a smaller sum of absolute vertical distances. It passes through two of the points; where
    /// several such lines are equal, through the two that are farthest apart in x.</summary>
    /// <returns>Intercept, slope, and the two points by index; null with fewer than two points, or all at one x.</returns>
    /// <remarks>Up to 600 points every pair is tried, and the answer is exact. Beyond, the line turns about one of its two points to the weighted median of slopes until neither
    /// turn lowers the sum: the problem is convex, so only ties can stop it short.</remarks>
    public static (double Intercept, double Slope, int First, int Second)? LeastAbsolute(double[] x, double[] y)
    {
        (double Sum, int First, int Second)? best = null;
        if (x.Length <= 600)
        {
            for (int i = 0; i < x.Length; i++)
                for (int j = i + 1; j < x.Length; j++) Try(i, j);
        }
        else if (Fit(x, y, RobustLoss.Huber) is RobustLine start)
        {
            int at = Enumerable.Range(0, x.Length).MinBy(i => Math.Abs(y[i] - start.Intercept - start.Slope * x[i]));
            for (int turn = 0; turn < 1000; turn++)
            {
                double before = best?.Sum ?? double.PositiveInfinity;
                int other = MedianOf(at);
                if (other < 0) return null;
                Try(Math.Min(at, other), Math.Max(at, other));
                if (!(best is { } b && b.Sum < before)) break;
                at = other;
            }
        }
        if (best is not (double _, int p, int q)) return null;
        double slope = (y[q] - y[p]) / (x[q] - x[p]);
        return (y[p] - slope * x[p], slope, p, q);

        void Try(int i, int j)
        {
            if (x[i] == x[j]) return;
            double slope = (y[j] - y[i]) / (x[j] - x[i]), sum = 0;
            for (int k = 0; k < x.Length; k++) sum += Math.Abs(y[k] - y[i] - slope * (x[k] - x[i]));
            // Several lines may share the least sum; the one through the points farthest apart is the best held of them.
            if (best is not (double least, int p, int q) || sum < least * (1 - 1e-12) || (sum <= least * (1 + 1e-12) && Math.Abs(x[j] - x[i]) > Math.Abs(x[q] - x[p]))) best = (sum, i, j);
        }

        int MedianOf(int pivot)
        {
            (double Slope, double Weight, int Index)[] slopes = [.. Enumerable.Range(0, x.Length).Where(k => x[k] != x[pivot])
                .Select(k => ((y[k] - y[pivot]) / (x[k] - x[pivot]), Math.Abs(x[k] - x[pivot]), k)).OrderBy(s => s.Item1)];
            double half = slopes.Sum(s => s.Weight) / 2, sum = 0;
            foreach ((double _, double weight, int index) in slopes)
            {
                sum += weight;
                if (sum >= half) return index;
            }
            return -1;
        }
    }
}
