using GapFlush.Numerics;

namespace GapFlush.Statistics;

/// <summary>Linear least squares with equal weights: coefficients, their covariance and the table of variance.</summary>
/// <remarks>
/// <para>Method: Householder triangularisation in double-double arithmetic, so that nearly dependent columns (a high polynomial, say) lose none of
/// the digits that the input has.</para>
/// <para>No answer (null): fewer rows than coefficients, or columns that depend on one another to within 24 digits.</para>
/// <para>Accuracy: NIST StRD linear regression to the digits that the double input allows (StatisticsReferenceTests).</para>
/// <para>Source: G. H. Golub and C. F. Van Loan, Matrix Computations, 5.3 [from memory].</para>
/// </remarks>
public sealed class LeastSquares
{
    private readonly double[] _coefficients;
    private readonly double[,] _unscaled;

    private LeastSquares(double[] coefficients, double[,] unscaled, double residual, double total, int count, bool intercept, double[] residuals)
    {
        (_coefficients, _unscaled, ResidualSumOfSquares, TotalSumOfSquares, Count, HasIntercept, Residuals) = (coefficients, unscaled, residual, total, count, intercept, residuals);
    }

    /// <summary>Rows used.</summary>
    public int Count { get; }

    /// <summary>True when a constant column was among the columns: sums of squares are then about the mean.</summary>
    public bool HasIntercept { get; }

    /// <summary>The coefficients, in the order of the columns.</summary>
    public IReadOnlyList<double> Coefficients => _coefficients;

    /// <summary>Observed minus fitted, in the order of the rows.</summary>
    public IReadOnlyList<double> Residuals { get; }

    /// <summary>Sum of squared residuals.</summary>
    public double ResidualSumOfSquares { get; }

    /// <summary>Sum of squares to be explained: about the mean with an intercept, about zero without.</summary>
    public double TotalSumOfSquares { get; }

    /// <summary>Explained sum of squares.</summary>
    public double RegressionSumOfSquares => TotalSumOfSquares - ResidualSumOfSquares;

    /// <summary>Rows less coefficients.</summary>
    public int ResidualDegreesOfFreedom => Count - _coefficients.Length;

    /// <summary>Coefficients besides the intercept.</summary>
    public int RegressionDegreesOfFreedom => _coefficients.Length - (HasIntercept ? 1 : 0);

    /// <summary>Residual variance; NaN where no degree of freedom is left.</summary>
    public double ResidualVariance => ResidualDegreesOfFreedom > 0 ? ResidualSumOfSquares / ResidualDegreesOfFreedom : double.NaN;

    /// <summary>Residual standard deviation.</summary>
    public double ResidualSd => Math.Sqrt(ResidualVariance);

    /// <summary>Share of the sum of squares that is explained.</summary>
    public double RSquared => RegressionSumOfSquares / TotalSumOfSquares;

    /// <summary>F ratio of the whole fit.</summary>
    public double F => RegressionSumOfSquares / RegressionDegreesOfFreedom / ResidualVariance;

    /// <summary>p value of the F ratio.</summary>
    public double FProbability => FisherDistribution.UpperTail(F, RegressionDegreesOfFreedom, ResidualDegreesOfFreedom);

    /// <summary>Covariance of two coefficients.</summary>
    public double Covariance(int i, int j) => _unscaled[i, j] * ResidualVariance;

    /// <summary>Standard error of a coefficient.</summary>
    public double StandardError(int i) => Math.Sqrt(Covariance(i, i));

    /// <summary>Interval for a coefficient (Student's t).</summary>
    public Interval CoefficientInterval(int i, double confidence = 0.95)
    {
        double half = StudentDistribution.UpperQuantile((1 - confidence) / 2, ResidualDegreesOfFreedom) * StandardError(i);
        return new(_coefficients[i] - half, _coefficients[i] + half);
    }

    /// <summary>Two-sided p value of a coefficient against zero.</summary>
    public double CoefficientProbability(int i) => StudentDistribution.TwoSided(_coefficients[i] / StandardError(i), ResidualDegreesOfFreedom);

    /// <summary>The fitted value at a row of the columns.</summary>
    public double At(params ReadOnlySpan<double> row)
    {
        double sum = 0;
        for (int i = 0; i < _coefficients.Length; i++) sum += _coefficients[i] * row[i];
        return sum;
    }

    /// <summary>Row times inverse normal matrix times row: the variance of the fitted value in units of the residual variance.</summary>
    public double Leverage(params ReadOnlySpan<double> row)
    {
        double sum = 0;
        for (int i = 0; i < _coefficients.Length; i++)
        {
            for (int j = 0; j < _coefficients.Length; j++) sum += row[i] * row[j] * _unscaled[i, j];
        }
        return sum;
    }

    /// <summary>Interval for the mean at a row.</summary>
    public Interval MeanIntervalAt(double confidence, params ReadOnlySpan<double> row) => About(At(row), Leverage(row), confidence);

    /// <summary>Interval for one further observation at a row.</summary>
    public Interval PredictionIntervalAt(double confidence, params ReadOnlySpan<double> row) => About(At(row), 1 + Leverage(row), confidence);

    /// <summary>Fits a straight line; coefficient 0 is the intercept, 1 the slope.</summary>
    public static LeastSquares? Line(IReadOnlyList<double> x, IReadOnlyList<double> y) => Polynomial(x, y, 1);

    /// <summary>Fits a polynomial of a degree; coefficient j belongs to x^j.</summary>
    public static LeastSquares? Polynomial(IReadOnlyList<double> x, IReadOnlyList<double> y, int degree) =>
        FitExactly(x.Count, degree + 1, (row, column) =>
        {
            DoubleDouble power = 1;
            for (int k = 0; k < column; k++) power *= x[row];
            return power;
        }, y, intercept: true);

    /// <summary>Fits any columns.</summary>
    /// <param name="columns">The columns of the design, each of shape (n).</param>
    /// <param name="y">Observations, shape (n).</param>
    /// <param name="intercept">True when the columns hold a constant.</param>
    /// <exception cref="ArgumentException">The lengths differ.</exception>
    public static LeastSquares? Fit(IReadOnlyList<IReadOnlyList<double>> columns, IReadOnlyList<double> y, bool intercept)
    {
        if (columns.Any(c => c.Count != y.Count)) throw new ArgumentException("Every column needs as many rows as there are observations.", nameof(columns));
        return FitExactly(y.Count, columns.Count, (row, column) => columns[column][row], y, intercept);
    }

    private Interval About(double value, double leverage, double confidence)
    {
        double half = StudentDistribution.UpperQuantile((1 - confidence) / 2, ResidualDegreesOfFreedom) * Math.Sqrt(leverage * ResidualVariance);
        return new(value - half, value + half);
    }

    private static LeastSquares? FitExactly(int n, int k, Func<int, int, DoubleDouble> design, IReadOnlyList<double> y, bool intercept)
    {
        if (y.Count != n) throw new ArgumentException("There must be as many observations as rows.", nameof(y));
        if (n < k || k == 0) return null;
        DoubleDouble[,] a = new DoubleDouble[n, k];
        DoubleDouble[] b = new DoubleDouble[n];
        for (int i = 0; i < n; i++)
        {
            b[i] = y[i];
            for (int j = 0; j < k; j++) a[i, j] = design(i, j);
        }
        for (int j = 0; j < k; j++)
        {
            DoubleDouble norm = 0, whole = 0;
            for (int i = 0; i < n; i++)
            {
                if (i >= j) norm += a[i, j] * a[i, j];
                DoubleDouble original = design(i, j);
                whole += original * original;
            }
            // What is left of the column after the ones before it: below 1e-24 of its length it is rounding.
            if (norm.High <= 1e-48 * whole.High || norm.High == 0) return null;
            norm = DoubleDouble.Sqrt(norm);
            if (a[j, j].High > 0) norm = -norm;
            DoubleDouble[] v = new DoubleDouble[n];
            for (int i = j; i < n; i++) v[i] = a[i, j];
            v[j] -= norm;
            DoubleDouble scale = -(norm * v[j]);
            if (scale.High == 0) continue;
            for (int c = j; c < k; c++)
            {
                DoubleDouble dot = 0;
                for (int i = j; i < n; i++) dot += v[i] * a[i, c];
                dot /= scale;
                for (int i = j; i < n; i++) a[i, c] -= dot * v[i];
            }
            DoubleDouble right = 0;
            for (int i = j; i < n; i++) right += v[i] * b[i];
            right /= scale;
            for (int i = j; i < n; i++) b[i] -= right * v[i];
        }
        DoubleDouble[] beta = new DoubleDouble[k];
        for (int i = k - 1; i >= 0; i--)
        {
            DoubleDouble sum = b[i];
            for (int j = i + 1; j < k; j++) sum -= a[i, j] * beta[j];
            beta[i] = sum / a[i, i];
        }
        DoubleDouble[,] inverse = new DoubleDouble[k, k];
        for (int c = 0; c < k; c++)
        {
            for (int i = c; i >= 0; i--)
            {
                DoubleDouble sum = i == c ? 1 : 0;
                for (int j = i + 1; j <= c; j++) sum -= a[i, j] * inverse[j, c];
                inverse[i, c] = sum / a[i, i];
            }
        }
        double[,] unscaled = new double[k, k];
        for (int i = 0; i < k; i++)
        {
            for (int j = 0; j < k; j++)
            {
                DoubleDouble sum = 0;
                for (int c = Math.Max(i, j); c < k; c++) sum += inverse[i, c] * inverse[j, c];
                unscaled[i, j] = (double)sum;
            }
        }
        DoubleDouble residual = 0, ySum = 0, total = 0;
        double[] residuals = new double[n];
        for (int i = 0; i < n; i++)
        {
            DoubleDouble e = y[i];
            for (int j = 0; j < k; j++) e -= design(i, j) * beta[j];
            residuals[i] = (double)e;
            residual += e * e;
            ySum += y[i];
        }
        DoubleDouble centre = intercept ? ySum / n : 0;
        for (int i = 0; i < n; i++)
        {
            DoubleDouble d = y[i] - centre;
            total += d * d;
        }
        return new([.. beta.Select(v => (double)v)], unscaled, (double)residual, (double)total, n, intercept, residuals);
    }
}
