using GapFlush.Geometry;
using GapFlush.Scans;

namespace GapFlush.Registration;

/// <summary>An even sample of a scan in bounded memory. Which points are kept is a question of where they lie and never of the order, or the file, in which they come.</summary>
/// <remarks>The points whose draw (<see cref="BlockDraws"/>) is least, as many as are usual. METHOD.md, eq. 6.</remarks>
/// <param name="toMm">Factor from the scan's unit to mm.</param>
/// <param name="expected">About how many points will come, so that few more than needed are looked at; a guess half as high again as what comes leaves fewer than usual. 0 where nobody knows.</param>
/// <param name="usual">How many points to keep.</param>
/// <param name="repeats">True where the same point comes over and over, as corners of triangles do; it is kept once.</param>
public sealed class ScanSample(double toMm = 1, long expected = 0, int usual = ScanSample.Usual, bool repeats = false) : IPointSieve
{
    // Two thirds of a million points show the seam of a door in a square metre of skin.
    internal const int Usual = 700_000;

    /// <summary>What shows the seam of a door in six square metres; three hundred megabytes while it is looked for, so only where the usual number showed none.</summary>
    internal const int Dense = 6_000_000;

    // Draws are told apart by their upper half.
    private const int Draws = 1 << 16;

    // Kept numbers are whole steps of a 4096th of a millimetre, a hundredth of any scanner's noise: within four metres of the first point floats hold those exactly, whichever point came first.
    private const double Steps = 3L << 39;

    private readonly double _toMm = toMm;
    private readonly int _room = usual + usual / 3;
    private readonly HashSet<(float, float, float)>? _once = repeats ? [] : null;
    private float[] _values = new float[3 * 4096];
    private ushort[] _draws = new ushort[4096];
    private int _count;
    private bool _settled = true;
    private int _most = (int)Math.Clamp(1.5 * usual * Draws / Math.Max(1, expected), 1, Draws) - 1;

    /// <summary>Points kept.</summary>
    public int Count => Settled._count;

    /// <summary>The box that holds the kept points, mm: least and largest of x, y, z.</summary>
    public (double X0, double Y0, double Z0, double X1, double Y1, double Z1) Box
    {
        get
        {
            (float x0, float y0, float z0, float x1, float y1, float z1) = (float.PositiveInfinity, float.PositiveInfinity, float.PositiveInfinity, float.NegativeInfinity, float.NegativeInfinity, float.NegativeInfinity);
            ReadOnlySpan<float> values = Values;
            for (int i = 0; i + 2 < values.Length; i += 3)
            {
                (float x, float y, float z) = (values[i], values[i + 1], values[i + 2]);
                (x0, y0, z0, x1, y1, z1) = (Math.Min(x0, x), Math.Min(y0, y), Math.Min(z0, z), Math.Max(x1, x), Math.Max(y1, y), Math.Max(z1, z));
            }
            return (Origin.X + x0, Origin.Y + y0, Origin.Z + z0, Origin.X + x1, Origin.Y + y1, Origin.Z + z1);
        }
    }

    /// <summary>Where the kept numbers count from, so that floats hold them.</summary>
    public Point3 Origin { get; private set; }

    /// <summary>The kept points, x, y, z in turn, counted from <see cref="Origin"/>.</summary>
    internal ReadOnlySpan<float> Values => _values.AsSpan(0, 3 * Count);

    private ScanSample Settled
    {
        get
        {
            if (!_settled) Settle();
            return this;
        }
    }

    /// <summary>A kept point.</summary>
    public Point3 this[int i] => new(Origin.X + _values[3 * i], Origin.Y + _values[3 * i + 1], Origin.Z + _values[3 * i + 2]);

    /// <summary>Which of the kept points to look at where about so many do: those with the least draws.</summary>
    internal int[] Some(int about)
    {
        int n = Count, most = Level(about);
        List<int> some = new(Math.Min(n, about));
        for (int i = 0; i < n; i++) if (_draws[i] <= most) some.Add(i);
        return [.. some];
    }

    IPointTray IPointSieve.NewTray() => new Tray(this);

    /// <summary>Takes points one after another; for scans that are in memory.</summary>
    /// <param name="coordinates">x, y, z in turn.</param>
    public void Add(ReadOnlySpan<double> coordinates)
    {
        Tray tray = new(this);
        tray.Sift(coordinates);
        tray.HandOver();
    }

    private void Accept(double x, double y, double z, ushort draw)
    {
        if (draw > _most) return;
        (x, y, z) = (x * _toMm + Steps - Steps, y * _toMm + Steps - Steps, z * _toMm + Steps - Steps);
        if (_count == 0) Origin = new(x, y, z);
        (float px, float py, float pz) = ((float)(x - Origin.X), (float)(y - Origin.Y), (float)(z - Origin.Z));
        if (_once?.Add((px, py, pz)) == false) return;
        // Places that all have the same draw cannot be told apart: no more of them than there is room for.
        if (_count == _room)
        {
            Settle();
            if (draw > _most || _count == _room) return;
        }
        if (_count == _draws.Length)
        {
            int room = Math.Min(_room, 2 * _count);
            Array.Resize(ref _draws, room);
            Array.Resize(ref _values, 3 * room);
        }
        (_values[3 * _count], _values[3 * _count + 1], _values[3 * _count + 2]) = (px, py, pz);
        _draws[_count++] = draw;
        _settled = false;
    }

    // The largest draw up to which there are no more points than that; those of one draw at the least.
    private int Level(int points)
    {
        int[] counts = new int[Draws];
        foreach (ushort draw in _draws.AsSpan(0, _count)) counts[draw]++;
        int most = 0, sum = counts[0];
        while (most + 1 < Draws && sum + counts[most + 1] <= points) sum += counts[++most];
        return most;
    }

    // So many points as are usual, or all. What was let go before would not have been among them.
    private void Settle()
    {
        _settled = true;
        if (_count <= usual) return;
        Volatile.Write(ref _most, Math.Min(_most, Level(usual)));
        int kept = 0;
        for (int i = 0; i < _count; i++)
        {
            if (_draws[i] > _most)
            {
                _once?.Remove((_values[3 * i], _values[3 * i + 1], _values[3 * i + 2]));
                continue;
            }
            (_values[3 * kept], _values[3 * kept + 1], _values[3 * kept + 2]) = (_values[3 * i], _values[3 * i + 1], _values[3 * i + 2]);
            _draws[kept++] = _draws[i];
        }
        _count = kept;
    }

    private sealed class Tray(ScanSample sample) : IPointTray
    {
        private const int Most = 4096;
        private readonly int[] _chosen = new int[Most];
        private double[] _kept = new double[3 * Most];
        private ushort[] _draws = new ushort[Most];
        private int _at;

        public void Sift(ReadOnlySpan<double> coordinates)
        {
            while (!coordinates.IsEmpty)
            {
                ReadOnlySpan<double> block = coordinates[..Math.Min(coordinates.Length, 3 * Most)];
                if (_at + Most > _draws.Length)
                {
                    Array.Resize(ref _draws, 2 * _draws.Length);
                    Array.Resize(ref _kept, 3 * _draws.Length);
                }
                int n = BlockDraws.Choose(block, sample._toMm, ((uint)Volatile.Read(ref sample._most) << 16) | 0xFFFF, _chosen, _draws.AsSpan(_at));
                foreach (int i in _chosen.AsSpan(0, n))
                {
                    (_kept[3 * _at], _kept[3 * _at + 1], _kept[3 * _at + 2]) = (block[i], block[i + 1], block[i + 2]);
                    _at++;
                }
                coordinates = coordinates[block.Length..];
            }
        }

        public void HandOver()
        {
            for (int i = 0; i < _at; i++) sample.Accept(_kept[3 * i], _kept[3 * i + 1], _kept[3 * i + 2], _draws[i]);
            _at = 0;
        }
    }
}
