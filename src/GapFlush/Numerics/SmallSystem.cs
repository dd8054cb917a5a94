namespace GapFlush.Numerics;

/// <summary>A few linear equations in as many unknowns, factored once and solved for many right-hand sides, as they stand or transposed.</summary>
/// <remarks>
/// <para>Method: elimination with row exchanges. For a handful of unknowns it takes less time than a general matrix library takes to load.</para>
/// <para>A matrix without an inverse gives infinite or NaN solutions; callers hand in matrices that have one.</para>
/// </remarks>
internal sealed class SmallSystem
{
    private readonly int _n;
    private readonly double[,] _factors;   // unit lower below the diagonal, upper from it on
    private readonly int[] _order;         // row i of the factors was row _order[i] of the matrix

    public SmallSystem(int n, Func<int, int, double> entry)
    {
        (_n, _factors, _order) = (n, new double[n, n], new int[n]);
        for (int i = 0; i < n; i++)
        {
            _order[i] = i;
            for (int j = 0; j < n; j++) _factors[i, j] = entry(i, j);
        }
        for (int k = 0; k < n; k++)
        {
            int pivot = k;
            for (int i = k + 1; i < n; i++)
                if (Math.Abs(_factors[i, k]) > Math.Abs(_factors[pivot, k])) pivot = i;
            if (pivot != k)
            {
                (_order[k], _order[pivot]) = (_order[pivot], _order[k]);
                for (int j = 0; j < n; j++) (_factors[k, j], _factors[pivot, j]) = (_factors[pivot, j], _factors[k, j]);
            }
            for (int i = k + 1; i < n; i++)
            {
                double factor = _factors[i, k] /= _factors[k, k];
                for (int j = k + 1; j < n; j++) _factors[i, j] -= factor * _factors[k, j];
            }
        }
    }

    /// <summary>x with A x = b.</summary>
    public double[] Solve(Func<int, double> rightHandSide)
    {
        double[] x = new double[_n];
        for (int i = 0; i < _n; i++)
        {
            x[i] = rightHandSide(_order[i]);
            for (int j = 0; j < i; j++) x[i] -= _factors[i, j] * x[j];
        }
        for (int i = _n - 1; i >= 0; i--)
        {
            for (int j = i + 1; j < _n; j++) x[i] -= _factors[i, j] * x[j];
            x[i] /= _factors[i, i];
        }
        return x;
    }

    /// <summary>x with Aᵀ x = b.</summary>
    public double[] SolveTransposed(Func<int, double> rightHandSide)
    {
        double[] y = new double[_n], x = new double[_n];
        for (int i = 0; i < _n; i++)
        {
            y[i] = rightHandSide(i);
            for (int j = 0; j < i; j++) y[i] -= _factors[j, i] * y[j];
            y[i] /= _factors[i, i];
        }
        for (int i = _n - 1; i >= 0; i--)
            for (int j = i + 1; j < _n; j++) y[i] -= _factors[j, i] * y[j];
        for (int i = 0; i < _n; i++) x[_order[i]] = y[i];
        return x;
    }
}
