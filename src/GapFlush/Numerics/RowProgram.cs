namespace GapFlush.Numerics;

/// <summary>A linear programme of few unknowns and many rows: the largest c·x with every row a·x ≤ b and every unknown between its bounds.</summary>
/// <remarks>
/// <para>Method: the simplex method on the dual, told in rows. As many rows as unknowns are taken as equations; the most violated row enters, and the row that keeps all
/// multipliers non-negative leaves. It starts at a corner of the bounds, which must be finite. On a stall the smallest index enters and leaves (Bland), so that it cannot go
/// round in circles. The inverse is made afresh every <see cref="Afresh"/> exchanges and before an answer is given.</para>
/// <para>Where no x obeys all rows, <see cref="Conflict"/> names rows that contradict one another within the bounds.</para>
/// <para>Source: C. E. Lemke, Naval Res. Logist. Q. 1 (1954) 36; R. G. Bland, Math. Oper. Res. 2 (1977) 103 [both from memory].</para>
/// </remarks>
internal sealed class RowProgram
{
    /// <summary>A row may be exceeded by this much, in its own unit (mm).</summary>
    public const double Slack = 1e-9;

    private const int Afresh = 25, MostExchanges = 5000;
    private readonly int _n;
    private readonly int[] _active;        // a row, or -1 - 2j for the upper and -2 - 2j for the lower bound of unknown j
    private readonly double[] _inverse, _x, _y, _d, _work;
    private readonly List<int> _conflict = [];
    private double[] _rows = [], _right = [];
    private double[] _low = [], _high = [];

    public RowProgram(int unknowns) =>
        (_n, _active, _inverse, _x, _y, _d, _work) = (unknowns, new int[unknowns], new double[unknowns * unknowns], new double[unknowns], new double[unknowns], new double[unknowns], new double[unknowns * unknowns * 2]);

    /// <summary>How a solution ended.</summary>
    public enum End
    {
        /// <summary>The best x stands in <see cref="Solution"/>.</summary>
        Solved,

        /// <summary>No x obeys all rows.</summary>
        Impossible,

        /// <summary>Given up.</summary>
        Stalled,
    }

    /// <summary>Rows put in.</summary>
    public int Rows { get; private set; }

    /// <summary>The unknowns after <see cref="End.Solved"/>.</summary>
    public ReadOnlySpan<double> Solution => _x;

    /// <summary>Rows that contradict one another, after <see cref="End.Impossible"/>; bounds that take part are not listed.</summary>
    public IReadOnlyList<int> Conflict => _conflict;

    /// <summary>True where every row holds with all unknowns nought.</summary>
    public bool HoldsAtNought => !_right.AsSpan(0, Rows).ContainsAnyInRange(double.NegativeInfinity, -Slack);

    /// <summary>Forgets all rows.</summary>
    public void Clear() => Rows = 0;

    /// <summary>Adds a row and gives its coefficients, all nought, to be filled in.</summary>
    public Span<double> Add(double right)
    {
        if (Rows == _right.Length)
        {
            Array.Resize(ref _right, Math.Max(64, 2 * Rows));
            Array.Resize(ref _rows, _right.Length * _n);
        }
        _right[Rows] = right;
        Span<double> row = _rows.AsSpan(Rows++ * _n, _n);
        row.Clear();
        return row;
    }

    /// <summary>The best x for an objective within bounds.</summary>
    public End Solve(ReadOnlySpan<double> objective, double[] low, double[] high)
    {
        (_low, _high) = (low, high);
        for (int j = 0; j < _n; j++)
        {
            if (low[j] > high[j])
            {
                _conflict.Clear();
                return End.Impossible;
            }
            _active[j] = objective[j] >= 0 ? -1 - 2 * j : -2 - 2 * j;
        }
        Invert();
        int stalled = 0;
        double value = double.PositiveInfinity;
        bool isFresh = true;
        for (int exchange = 1; exchange < MostExchanges; exchange++)
        {
            At(objective);
            double now = 0;
            for (int j = 0; j < _n; j++) now += objective[j] * _x[j];
            stalled = now < value - 1e-12 ? 0 : stalled + 1;
            value = Math.Min(value, now);
            bool bland = stalled > 3 * _n + 20;
            int entering = MostViolated(bland, out bool any);
            if (!any)
            {
                if (isFresh) return End.Solved;
                Invert();
                isFresh = true;
                continue;
            }
            Along(entering);
            int leaving = -1;
            double least = double.PositiveInfinity;
            for (int i = 0; i < _n; i++)
            {
                if (_d[i] <= 1e-9) continue;
                double ratio = Math.Max(0, _y[i]) / _d[i];
                bool tie = leaving >= 0 && Math.Abs(ratio - least) <= 1e-13;
                if (tie ? (bland ? _active[i] < _active[leaving] : _d[i] > _d[leaving]) : ratio < least) (leaving, least) = (i, ratio);
            }
            if (leaving < 0)
            {
                if (!isFresh)
                {
                    Invert();
                    isFresh = true;
                    continue;
                }
                _conflict.Clear();
                if (entering >= 0) _conflict.Add(entering);
                for (int i = 0; i < _n; i++)
                    if (_d[i] < -1e-9 && _active[i] >= 0) _conflict.Add(_active[i]);
                return End.Impossible;
            }
            _active[leaving] = entering;
            isFresh = false;
            if (exchange % Afresh == 0)
            {
                Invert();
                isFresh = true;
            }
            else
            {
                Update(leaving);
            }
        }
        return End.Stalled;
    }

    private double Coefficient(int row, int j) => row >= 0 ? _rows[row * _n + j] : (-1 - row) / 2 != j ? 0 : ((-1 - row) & 1) == 0 ? 1 : -1;

    private double Right(int row) => row >= 0 ? _right[row] : ((-1 - row) & 1) == 0 ? _high[(-1 - row) / 2] : -_low[(-1 - row) / 2];

    // x from the active rows, multipliers from the objective.
    private void At(ReadOnlySpan<double> objective)
    {
        Array.Clear(_x);
        for (int i = 0; i < _n; i++)
        {
            double b = Right(_active[i]), y = 0;
            for (int j = 0; j < _n; j++)
            {
                double v = _inverse[j * _n + i];
                _x[j] += v * b;
                y += objective[j] * v;
            }
            _y[i] = y;
        }
    }

    private int MostViolated(bool firstOnly, out bool any)
    {
        int found = 0;
        double worst = Slack;
        any = false;
        for (int j = 0; j < _n; j++)
        {
            double over = _x[j] - _high[j], under = _low[j] - _x[j];
            if (over > worst) (found, worst, any) = (-1 - 2 * j, over, true);
            if (under > worst) (found, worst, any) = (-2 - 2 * j, under, true);
            if (any && firstOnly) return found;
        }
        ReadOnlySpan<double> x = _x;
        for (int i = 0; i < Rows; i++)
        {
            ReadOnlySpan<double> row = _rows.AsSpan(i * _n, _n);
            double over = -_right[i];
            for (int j = 0; j < row.Length; j++) over += row[j] * x[j];
            if (over <= worst) continue;
            (found, worst, any) = (i, over, true);
            if (firstOnly) return found;
        }
        return found;
    }

    private void Along(int row)
    {
        for (int i = 0; i < _n; i++)
        {
            double sum = 0;
            for (int j = 0; j < _n; j++) sum += Coefficient(row, j) * _inverse[j * _n + i];
            _d[i] = sum;
        }
    }

    private void Update(int leaving)
    {
        double pivot = _d[leaving];
        for (int j = 0; j < _n; j++)
        {
            double v = _inverse[j * _n + leaving] /= pivot;
            for (int i = 0; i < _n; i++)
                if (i != leaving) _inverse[j * _n + i] -= _d[i] * v;
        }
    }

    private void Invert()
    {
        int n = _n, w = 2 * n;
        for (int i = 0; i < n; i++)
        {
            for (int j = 0; j < n; j++) (_work[i * w + j], _work[i * w + n + j]) = (Coefficient(_active[i], j), i == j ? 1 : 0);
        }
        for (int k = 0; k < n; k++)
        {
            int pivot = k;
            for (int i = k + 1; i < n; i++)
                if (Math.Abs(_work[i * w + k]) > Math.Abs(_work[pivot * w + k])) pivot = i;
            if (pivot != k)
                for (int j = 0; j < w; j++) (_work[k * w + j], _work[pivot * w + j]) = (_work[pivot * w + j], _work[k * w + j]);
            double scale = _work[k * w + k];
            for (int j = 0; j < w; j++) _work[k * w + j] /= scale;
            for (int i = 0; i < n; i++)
            {
                double factor = _work[i * w + k];
                if (i == k || factor == 0) continue;
                for (int j = 0; j < w; j++) _work[i * w + j] -= factor * _work[k * w + j];
            }
        }
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n; j++) _inverse[i * n + j] = _work[i * w + n + j];
    }
}
