using GapFlush.Geometry;
using MathNet.Numerics.LinearAlgebra;

namespace GapFlush.Registration;

/// <summary>The rigid motion that brings some points nearest to others, pair by pair, in space or in the plane z = 0.</summary>
/// <remarks>
/// <para>Method: weighted least squares from the singular values of the cross-covariance, the last sign chosen so that the turn is proper and never a mirror image.
/// METHOD.md, eq. 1 to 3.</para>
/// <para>Where the points lie on one line the turn about it is not determined: <see cref="IsDetermined"/> is false, and the motion is one of many.</para>
/// <para>Accuracy: rotation 1e-9, shift 1e-6 mm, RMS 1e-8 mm against 60-digit fits (PointFitTests).</para>
/// <para>Source: W. Kabsch, Acta Cryst. A 34 (1978) 827; S. Umeyama, IEEE PAMI 13 (1991) 376; B. K. P. Horn, J. Opt. Soc. Am. A 4 (1987) 629 [from memory].</para>
/// </remarks>
/// <param name="Motion">From the first points to the second.</param>
/// <param name="Scale">Factor that goes with the turn; 1 unless it was asked for.</param>
/// <param name="Residuals">Distance left at each pair, mm.</param>
/// <param name="Rms">Weighted root mean square of them, mm.</param>
/// <param name="SingularValues">Of the weighted cross-covariance (weights summing to one), largest first, mm².</param>
/// <param name="Dimension">3 in space, 2 in the plane.</param>
public sealed record PointFit(RigidMotion Motion, double Scale, IReadOnlyList<double> Residuals, double Rms, IReadOnlyList<double> SingularValues, int Dimension)
{
    // Targets known to 0.01 mm over a metre differ from a line by 1e-5; its square is 1e-10 of the largest value. Below 1e-9 no third direction is told from noise.
    private const double RankTolerance = 1e-9;

    /// <summary>Singular values above 1e-9 of the largest.</summary>
    public int Rank => SingularValues.Count(v => v > RankTolerance * SingularValues[0]);

    /// <summary>False where a turn is left free: all points on one line, or in one place.</summary>
    public bool IsDetermined => Rank >= Dimension - 1;

    /// <summary>Index of the pair with the largest residual.</summary>
    public int Worst => Enumerable.Range(0, Residuals.Count).MaxBy(i => Residuals[i]);

    /// <summary>Fits a motion.</summary>
    /// <param name="from">Points to move.</param>
    /// <param name="to">Where they should come, in the same order.</param>
    /// <param name="weights">One a pair, above zero; null for equal weights.</param>
    /// <param name="inPlane">True to turn about z only; z is then left alone.</param>
    /// <param name="withScale">True to find a common factor too: it tells a slip of units.</param>
    /// <exception cref="ArgumentException">The lists differ in length or are empty, or a weight is not above zero.</exception>
    public static PointFit Fit(IReadOnlyList<Point3> from, IReadOnlyList<Point3> to, IReadOnlyList<double>? weights = null, bool inPlane = false, bool withScale = false)
    {
        if (from.Count == 0 || from.Count != to.Count || (weights is not null && weights.Count != from.Count))
            throw new ArgumentException(Invariant($"There are {from.Count} points, {to.Count} places and {weights?.Count ?? from.Count} weights; all must agree and be at least 1."), nameof(to));
        if (weights is not null && !weights.All(w => w > 0 && double.IsFinite(w))) throw new ArgumentException("Weights are above zero.", nameof(weights));
        int d = inPlane ? 2 : 3, n = from.Count;
        double total = weights?.Sum() ?? n;
        double Weight(int i) => (weights?[i] ?? 1) / total;
        (Point3 mf, Point3 mt) = (MeanOf(from), MeanOf(to));
        Matrix<double> h = Matrix<double>.Build.Dense(d, d);
        double spread = 0;
        for (int i = 0; i < n; i++)
        {
            double[] a = Parts(from[i] - mf), b = Parts(to[i] - mt);
            for (int r = 0; r < d; r++)
            {
                spread += Weight(i) * a[r] * a[r];
                for (int c = 0; c < d; c++) h[r, c] += Weight(i) * b[r] * a[c];
            }
        }
        MathNet.Numerics.LinearAlgebra.Factorization.Svd<double> svd = h.Svd();
        Matrix<double> sign = Matrix<double>.Build.DenseIdentity(d);
        if (svd.U.Determinant() * svd.VT.Determinant() < 0) sign[d - 1, d - 1] = -1;
        Matrix<double> turn = svd.U * sign * svd.VT;
        double scale = withScale && spread > 0 ? Enumerable.Range(0, d).Sum(k => svd.S[k] * sign[k, k]) / spread : 1;
        RigidMotion motion = inPlane
            ? new(new(turn[0, 0], turn[0, 1], 0), new(turn[1, 0], turn[1, 1], 0), new(0, 0, 1), default)
            : new(new(turn[0, 0], turn[0, 1], turn[0, 2]), new(turn[1, 0], turn[1, 1], turn[1, 2]), new(turn[2, 0], turn[2, 1], turn[2, 2]), default);
        motion = motion with { Shift = mt.FromOrigin - scale * motion.Turn(mf.FromOrigin) };
        // About the means: at 2400 mm from the origin the shift itself rounds at 1e-12.
        double[] residuals = [.. Enumerable.Range(0, n).Select(i => ((to[i] - mt) - scale * motion.Turn(from[i] - mf)).Length)];
        double square = 0;
        for (int i = 0; i < n; i++) square += Weight(i) * residuals[i] * residuals[i];
        return new(motion, scale, residuals, Math.Sqrt(square), [.. svd.S], d);

        Point3 MeanOf(IReadOnlyList<Point3> p)
        {
            Point3 plain = Point3.Mean([.. p]);
            Vector3 sum = default;
            for (int i = 0; i < n; i++) sum += Weight(i) * (p[i] - plain);
            return plain + sum;
        }

        double[] Parts(Vector3 v) => [v.X, v.Y, v.Z];
    }

    /// <summary>The same fit with the first points mirrored: a far smaller <see cref="Rms"/> means that the points are of the other hand.</summary>
    public static PointFit FitMirrored(IReadOnlyList<Point3> from, IReadOnlyList<Point3> to, IReadOnlyList<double>? weights = null) =>
        Fit([.. from.Select(p => p with { Y = -p.Y })], to, weights);   // any mirror plane will do: they differ by a turn

    /// <summary>The unit quaternion of the same fit, by Horn's own route: the eigenvector of a 4 by 4 matrix. The real part is not negative.</summary>
    /// <returns>Real part and the three others.</returns>
    public static (double W, double X, double Y, double Z) Quaternion(IReadOnlyList<Point3> from, IReadOnlyList<Point3> to, IReadOnlyList<double>? weights = null)
    {
        double total = weights?.Sum() ?? from.Count;
        Vector3 mf = default, mt = default;
        for (int i = 0; i < from.Count; i++)
        {
            double w = (weights?[i] ?? 1) / total;
            (mf, mt) = (mf + w * from[i].FromOrigin, mt + w * to[i].FromOrigin);
        }
        double[,] s = new double[3, 3];
        for (int i = 0; i < from.Count; i++)
        {
            (Vector3 a, Vector3 b) = (from[i].FromOrigin - mf, to[i].FromOrigin - mt);
            double w = (weights?[i] ?? 1) / total;
            double[] pa = [a.X, a.Y, a.Z], pb = [b.X, b.Y, b.Z];
            for (int r = 0; r < 3; r++)
                for (int c = 0; c < 3; c++) s[r, c] += w * pa[r] * pb[c];
        }
        Matrix<double> k = Matrix<double>.Build.DenseOfArray(new[,]
        {
            { s[0, 0] + s[1, 1] + s[2, 2], s[1, 2] - s[2, 1], s[2, 0] - s[0, 2], s[0, 1] - s[1, 0] },
            { s[1, 2] - s[2, 1], s[0, 0] - s[1, 1] - s[2, 2], s[0, 1] + s[1, 0], s[2, 0] + s[0, 2] },
            { s[2, 0] - s[0, 2], s[0, 1] + s[1, 0], s[1, 1] - s[0, 0] - s[2, 2], s[1, 2] + s[2, 1] },
            { s[0, 1] - s[1, 0], s[2, 0] + s[0, 2], s[1, 2] + s[2, 1], s[2, 2] - s[0, 0] - s[1, 1] },
        });
        Vector<double> q = k.Evd(Symmetricity.Symmetric).EigenVectors.Column(3);
        if (q[0] < 0) q = -q;
        q /= q.L2Norm();
        return (q[0], q[1], q[2], q[3]);
    }
}
