using GapFlush.Numerics;

namespace GapFlush.Geometry;

/// <summary>A circle that a few wrong points do not carry away: Huber's or Tukey's loss on the distances from it, with the scale held.</summary>
/// <remarks>
/// <para>Method: reweighted geometric fit. METHOD.md, eq. 14. Huber starts from least squares, bisquare from Huber's circle.</para>
/// <para>No answer (null): where the least-squares circle has none, or no convergence.</para>
/// <para>Accuracy: 1e-6 relative against 60-digit fits (FitsTests).</para>
/// </remarks>
/// <param name="Centre">Centre, mm.</param>
/// <param name="Radius">Radius, mm.</param>
/// <param name="Weights">The final weight of each point; 0 where it was rejected.</param>
public sealed record RobustCircle(Point2 Centre, double Radius, IReadOnlyList<double> Weights)
{
    /// <summary>Fits a robust circle.</summary>
    /// <param name="points">Points, mm.</param>
    /// <param name="loss">How large distances are taken.</param>
    /// <param name="scaleMm">Standard deviation of a good distance, mm.</param>
    /// <exception cref="ArgumentException">The scale is not above zero.</exception>
    public static RobustCircle? Fit(IReadOnlyList<Point2> points, RobustLoss loss, double scaleMm)
    {
        if (!(scaleMm > 0)) throw new ArgumentException(Invariant($"A scale of {scaleMm} mm is not above zero."), nameof(scaleMm));
        if (CircleFit.Fit(points) is not CircleFit start) return null;
        double[] at = [start.Centre.X, start.Centre.Y, start.Radius];
        foreach (RobustLoss stage in loss == RobustLoss.Huber ? [RobustLoss.Huber] : new[] { RobustLoss.Huber, RobustLoss.Tukey })
        {
            // Newton's steps on a reweighted fit settle at the same place as the reweighting itself.
            GaussNewton.Result fit = GaussNewton.Run(at, (p, r, j) => CircleFit.Model(points, p, r, j), points.Count, 3, weights: r => [.. r.Select(v => RobustWeights.Of(stage, v, scaleMm))]);
            if (!fit.Converged || !(fit.Parameters[2] > 0)) return null;
            at = fit.Parameters;
        }
        Point2 centre = new(at[0], at[1]);
        return new(centre, at[2], [.. points.Select(p => RobustWeights.Of(loss, p.DistanceTo(centre) - at[2], scaleMm))]);
    }
}
