using MathNet.Numerics.LinearAlgebra;

namespace GapFlush.Geometry;

/// <summary>Runs a small nonlinear least-squares fit down to the last digit that doubles hold.</summary>
internal static class GaussNewton
{
    /// <summary>How a fit ended.</summary>
    /// <param name="Parameters">Where it stands.</param>
    /// <param name="Residuals">Residuals there.</param>
    /// <param name="Iterations">Steps taken.</param>
    /// <param name="Converged">True where the last step no longer moved anything.</param>
    internal sealed record Result(double[] Parameters, double[] Residuals, int Iterations, bool Converged)
    {
        public double SumOfSquares => Residuals.Sum(r => r * r);
    }

    /// <summary>Minimises the sum of squared residuals.</summary>
    /// <param name="start">Where to start.</param>
    /// <param name="model">Fills residuals and Jacobian (row by row) at some parameters.</param>
    /// <param name="count">Number of residuals.</param>
    /// <param name="step">Applies a step; null for plain addition. Lets a direction stay a unit vector.</param>
    /// <param name="unknowns">Length of a step.</param>
    /// <param name="weights">Weights from the residuals at the present place, or null for equal weights.</param>
    /// <remarks>Steps solve the linearised problem by orthogonal factors on scaled columns; while far off they are damped (Levenberg-Marquardt), near the end they
    /// are not, because a damped step stops short: on a flat minimum (a radius on a short arc) a solver stopped by the sum of squares is 1e-6 off.</remarks>
    public static Result Run(double[] start, Action<double[], double[], double[,]> model, int count, int unknowns, Func<double[], double[], double[]>? step = null, Func<double[], double[]>? weights = null)
    {
        step ??= (p, d) => [.. p.Zip(d, (a, b) => a + b)];
        double[] at = start, r = new double[count], trialResiduals = new double[count];
        double[,] j = new double[count, unknowns], trialJacobian = new double[count, unknowns];
        model(at, r, j);
        double floor = count * Math.Pow(1e-13 * (1 + start.Max(Math.Abs)), 2);   // of the cost, from rounding alone
        double damping = 1e-4, size = double.PositiveInfinity;
        int stalled = 0;
        for (int iteration = 1; iteration <= 4000; iteration++)
        {
            double[]? w = weights?.Invoke(r);
            double cost = Cost(r, w);
            double[] scale = new double[unknowns];
            for (int k = 0; k < unknowns; k++)
            {
                for (int i = 0; i < count; i++) scale[k] += (w?[i] ?? 1) * j[i, k] * j[i, k];
                scale[k] = scale[k] > 0 ? Math.Sqrt(scale[k]) : 1;
            }
            bool damped = damping > 1e-12;
            Matrix<double> a = Matrix<double>.Build.Dense(count + (damped ? unknowns : 0), unknowns, (i, k) => i < count ? Root(w, i) * j[i, k] / scale[k] : i - count == k ? Math.Sqrt(damping) : 0);
            Vector<double> b = Vector<double>.Build.Dense(a.RowCount, i => i < count ? -Root(w, i) * r[i] : 0);
            Vector<double> solved = a.QR(MathNet.Numerics.LinearAlgebra.Factorization.QRMethod.Thin).Solve(b);
            double[] d = [.. solved.Select((v, k) => v / scale[k])];
            if (d.Any(v => !double.IsFinite(v))) return new(at, r, iteration, false);
            double[] trial = step(at, d);
            model(trial, trialResiduals, trialJacobian);
            double now = solved.L2Norm();
            // Within rounding of the minimum (1e-11 of the cost where a 900 mm radius is fitted to 0.01 mm) the cost says nothing more; the size of the steps does.
            if (!(Cost(trialResiduals, w) <= cost * (1 + 1e-9) + floor) && damped)
            {
                damping = Math.Min(1e8, damping * 10);
                continue;
            }
            at = trial;
            (r, trialResiduals) = (trialResiduals, r);
            (j, trialJacobian) = (trialJacobian, j);
            damping = damped ? damping / 10 : damping;
            if (damped) continue;
            stalled = now < 0.9 * size ? 0 : stalled + 1;
            size = Math.Min(size, now);
            // Rounding leaves steps of some 1e-16 of the residual scale; 20 steps without getting smaller is that floor.
            if (now == 0 || (stalled >= 20 && weights is null) || (weights is not null && now < 1e-14 * Math.Sqrt(count))) return new(at, r, iteration, true);
            if (weights is not null && stalled >= 200) return new(at, r, iteration, now < 1e-9);
        }
        return new(at, r, 4000, false);

        static double Root(double[]? w, int i) => w is null ? 1 : Math.Sqrt(w[i]);

        static double Cost(double[] r, double[]? w)
        {
            double sum = 0;
            for (int i = 0; i < r.Length; i++) sum += (w?[i] ?? 1) * r[i] * r[i];
            return sum;
        }
    }
}
