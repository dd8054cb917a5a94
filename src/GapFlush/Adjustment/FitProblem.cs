namespace GapFlush.Adjustment;

/// <summary>What the search for moves works on: how every judged value follows the moves, and what is asked of it. No doors here, only numbers.</summary>
/// <remarks>A quantity is base + effect · moves, in mm of door movement at the seam. An asked value is either one quantity between two ends, or the range (largest minus smallest) of
/// several below an end.</remarks>
internal sealed class FitProblem
{
    /// <summary>A value counts as inside its limits up to this excess, mm: decimals compare as written.</summary>
    public const double Inside = 1e-7;

    private readonly double[] _flat;

    public FitProblem(IReadOnlyList<Quantity> quantities, IReadOnlyList<Asked> asked, IReadOnlyList<Position> positions, IReadOnlyList<double[]>? bending = null, double bendAllowanceMm = 0)
    {
        (Quantities, AskedValues, Positions, Bending, BendAllowanceMm) = ([.. quantities], [.. asked], [.. positions], [.. bending ?? []], bendAllowanceMm);
        int k = Moves;
        _flat = new double[Quantities.Length * k];
        for (int q = 0; q < Quantities.Length; q++) Quantities[q].Effect.CopyTo(_flat.AsSpan(q * k, k));
        List<Piece> pieces = [];
        for (int a = 0; a < AskedValues.Length; a++)
        {
            Asked value = AskedValues[a];
            if (value.RangeOf is int[] range)
            {
                foreach (int i in range)
                    foreach (int j in range)
                        if (i != j) pieces.Add(new(a, i, j, 1, value.High));
                continue;
            }
            if (double.IsFinite(value.High)) pieces.Add(new(a, value.Quantity, -1, 1, value.High));
            if (double.IsFinite(value.Low)) pieces.Add(new(a, value.Quantity, -1, -1, -value.Low));
        }
        Pieces = [.. pieces];
    }

    /// <summary>A quantity that follows the moves.</summary>
    public sealed record Quantity(double Base, double[] Effect);

    /// <summary>A judged value: a quantity between ends, or the range of several below <paramref name="High"/>.</summary>
    /// <param name="Quantity">The quantity; not used for a range.</param>
    /// <param name="RangeOf">The quantities of a range, or null.</param>
    /// <param name="Low">Lower end or minus infinity.</param>
    /// <param name="High">Upper end or infinity.</param>
    /// <param name="Guard">What the margin is less by.</param>
    /// <param name="IsSetApart">True where its excess does not pull.</param>
    public sealed record Asked(int Quantity, int[]? RangeOf, double Low, double High, double Guard, bool IsSetApart = false);

    /// <summary>Where an adjuster may stand: anywhere between two ends, or at listed places, rising.</summary>
    public sealed record Position(double Low, double High, double[]? Values)
    {
        /// <summary>The allowed place nearest to one.</summary>
        public double Nearest(double at)
        {
            if (Values is null) return Math.Clamp(at, Low, High);
            int i = Array.BinarySearch(Values, at);
            if (i >= 0) return at;
            i = ~i;
            return i == 0 ? Values[0] : i == Values.Length ? Values[^1] : at - Values[i - 1] <= Values[i] - at ? Values[i - 1] : Values[i];
        }

        /// <summary>True where staying is allowed.</summary>
        public bool MayStay => Values is null ? Low <= 0 && High >= 0 : Array.BinarySearch(Values, 0.0) >= 0;
    }

    /// <summary>One side of an asked value: sign times (quantity less the other) at most the limit.</summary>
    public readonly record struct Piece(int Asked, int Quantity, int Less, int Sign, double Limit);

    public Quantity[] Quantities { get; }

    public Asked[] AskedValues { get; }

    public Position[] Positions { get; }

    public Piece[] Pieces { get; }

    /// <summary>What the moves contradict one another by at each adjuster: a row each, misfit = row · moves.</summary>
    public double[][] Bending { get; }

    /// <summary>The most that may be, mm.</summary>
    public double BendAllowanceMm { get; }

    public int Moves => Positions.Length;

    /// <summary>The same problem with other places for the adjusters.</summary>
    public FitProblem With(IReadOnlyList<Position> positions) => new(Quantities, AskedValues, positions, Bending, BendAllowanceMm);

    /// <summary>The same problem with some values set apart.</summary>
    public FitProblem SettingApart(Func<int, bool> apart) => new(Quantities, [.. AskedValues.Select((a, i) => a with { IsSetApart = apart(i) })], Positions, Bending, BendAllowanceMm);

    /// <summary>All quantities at some moves.</summary>
    public void At(ReadOnlySpan<double> moves, Span<double> values)
    {
        int k = Moves;
        for (int q = 0; q < Quantities.Length; q++)
        {
            double v = Quantities[q].Base;
            ReadOnlySpan<double> effect = _flat.AsSpan(q * k, k);
            for (int j = 0; j < effect.Length; j++) v += effect[j] * moves[j];
            values[q] = v;
        }
    }

    /// <summary>How far a value is beyond its nearer end; negative inside.</summary>
    public double Beyond(int asked, ReadOnlySpan<double> values)
    {
        Asked a = AskedValues[asked];
        if (a.RangeOf is null) return Math.Max(values[a.Quantity] - a.High, a.Low - values[a.Quantity]);
        double high = double.NegativeInfinity, low = double.PositiveInfinity;
        foreach (int q in a.RangeOf) (high, low) = (Math.Max(high, values[q]), Math.Min(low, values[q]));
        return high - low - a.High;
    }

    /// <summary>The score of some moves, and the sum of all excesses for breaking ties on the way.</summary>
    public FitScore Score(ReadOnlySpan<double> moves, out double total)
    {
        Span<double> values = Quantities.Length <= 512 ? stackalloc double[Quantities.Length] : new double[Quantities.Length];
        At(moves, values);
        int outside = 0;
        double excess = 0, margin = double.PositiveInfinity;
        total = 0;
        for (int a = 0; a < AskedValues.Length; a++)
        {
            double beyond = Beyond(a, values);
            if (beyond > Inside)
            {
                outside++;
                if (!AskedValues[a].IsSetApart) excess = Math.Max(excess, beyond);
                total += beyond + AskedValues[a].Guard;
            }
            else
            {
                double m = -beyond - AskedValues[a].Guard;
                margin = Math.Min(margin, m);
                if (m < 0) total -= m;
            }
        }
        return new(outside, excess, margin);
    }

    /// <summary>The score of some moves.</summary>
    public FitScore Score(ReadOnlySpan<double> moves) => Score(moves, out _);

    /// <summary>True where the moves do not bend the door more than allowed.</summary>
    public bool IsCompatible(ReadOnlySpan<double> moves)
    {
        foreach (double[] row in Bending)
        {
            double misfit = 0;
            for (int j = 0; j < row.Length; j++) misfit += row[j] * moves[j];
            if (Math.Abs(misfit) > BendAllowanceMm + Inside) return false;
        }
        return true;
    }
}
