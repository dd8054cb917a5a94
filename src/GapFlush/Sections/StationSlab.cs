using System.Buffers;
using System.Runtime.CompilerServices;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>Gathers the points near one station, in bounded memory.</summary>
/// <remarks>Where there are too many, which are kept is a question of where they lie and never of the order in which they come: by a draw that their place decides while they are gathered, and one
/// for each small cell of the skin when they are handed on. METHOD.md, eq. 39 and 40.</remarks>
internal sealed class StationSlab
{
    // Places are told apart to a thirty-second of a millimetre.
    private const float PerMm = 32;

    private readonly int _most;
    private float[] _values = new float[3 * 256];
    private int _count;

    // A point stays while its draw, of 32 bits, has so many leading zeros.
    private int _halvings;

    public StationSlab(Door door, int index, double nominalGapMm, double nominalFlushMm, SectionOptions options)
    {
        Frame = new SeamFrame(door, index);
        (NominalGapMm, NominalFlushMm) = (nominalGapMm, nominalFlushMm);
        _most = options.PointsPerStation;
        // Half a millimetre more than the fit looks at: the seam bends.
        AlongMm = options.HalfRunMm + 0.5;
        AcrossMm = nominalGapMm / 2 + options.SearchMm + 2.5 + StationFit.SkinMm + 0.5;
        (DeepMm, HighMm) = (StationFit.WallMm + 5, 6);
        HalfRunMm = options.HalfRunMm;
        // At a bend the box is measured along the straight tangent; a 40 mm radius needs this much more.
        BendMm = 3;
    }

    public SeamFrame Frame { get; }

    public Station Station => Frame.Station;

    public double NominalGapMm { get; }

    public double NominalFlushMm { get; }

    public double AlongMm { get; }

    public double AcrossMm { get; }

    public double DeepMm { get; }

    public double HighMm { get; }

    public double HalfRunMm { get; }

    public double BendMm { get; }

    public int Count => _count;

    /// <summary>Radius of a ball round the station that holds all its points, mm.</summary>
    public double ReachMm => Math.Sqrt((AlongMm + BendMm) * (AlongMm + BendMm) + AcrossMm * AcrossMm + Math.Max(DeepMm, HighMm) * Math.Max(DeepMm, HighMm));

    /// <summary>How many points stand for each one kept: 1 but for scans denser than a station has room for.</summary>
    public int Thinning => 1 << _halvings;

    /// <summary>Where the slab lies and ends.</summary>
    public Box Limits => new(Station.Position, Station.Tangent, Station.Normal, Station.IntoDoor, AlongMm + BendMm, HighMm, DeepMm, AcrossMm);

    /// <summary>A slab as plain numbers, quick to ask.</summary>
    internal readonly struct Box(Point3 at, Vector3 t, Vector3 n, Vector3 u, double along, double high, double deep, double across)
    {
        private readonly double _tx = t.X, _ty = t.Y, _tz = t.Z, _nx = n.X, _ny = n.Y, _nz = n.Z, _ux = u.X, _uy = u.Y, _uz = u.Z, _along = along, _high = high, _deep = deep, _across = across;

        public readonly double X = at.X, Y = at.Y, Z = at.Z;

        /// <summary>True where a point, given relative to the station in plan axes, lies in the slab.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public bool Holds(double x, double y, double z)
        {
            double up = _nx * x + _ny * y + _nz * z;
            return Math.Abs(_tx * x + _ty * y + _tz * z) <= _along && up <= _high && up >= -_deep && Math.Abs(_ux * x + _uy * y + _uz * z) <= _across;
        }
    }

    /// <summary>True where a point that lies in the slab would be kept for now. Other threads may take points meanwhile: then some more are wanted than will be kept.</summary>
    public bool Wants(float x, float y, float z) => Volatile.Read(ref _halvings) is var h && (h == 0 || PlaceDraw.Of(x, y, z, PerMm) >> (32 - h) == 0);

    /// <summary>Takes a point that lies in the slab. Once there are too many, those of half of all places are let go, and no more are taken there.</summary>
    public void Take(float x, float y, float z)
    {
        if (!Wants(x, y, z)) return;
        // Places that all have the same draw cannot be told apart: no more of them than there is room for.
        while (_count == _most)
        {
            if (_halvings == 31) return;
            Volatile.Write(ref _halvings, _halvings + 1);
            int kept = 0;
            for (int i = 0; i < _count; i++)
            {
                if (!Wants(_values[3 * i], _values[3 * i + 1], _values[3 * i + 2])) continue;
                Array.Copy(_values, 3 * i, _values, 3 * kept++, 3);
            }
            _count = kept;
            if (!Wants(x, y, z)) return;
        }
        if (3 * _count == _values.Length) Array.Resize(ref _values, Math.Min(3 * _most, 2 * _values.Length));
        (_values[3 * _count], _values[3 * _count + 1], _values[3 * _count + 2]) = (x, y, z);
        _count++;
    }

    /// <summary>Keeps each place once: corners that triangles share come once for every triangle.</summary>
    public void DropRepeats()
    {
        HashSet<(float, float, float)> seen = [];
        int kept = 0;
        for (int i = 0; i < _count; i++)
        {
            if (!seen.Add((_values[3 * i], _values[3 * i + 1], _values[3 * i + 2]))) continue;
            Array.Copy(_values, 3 * i, _values, 3 * kept++, 3);
        }
        _count = kept;
    }

    /// <summary>The gathered points in the station's curved axes, in the order of their places across the seam, whatever order they came in.</summary>
    public SlabPoints ToPoints(RigidMotion? correction = null)
    {
        int[] order = SlabOrder.Of(_values.AsSpan(0, 3 * _count), SurplusSkin(), Station.IntoDoor);
        int n = order.Length, kept = 0;
        double[] rented = ArrayPool<double>.Shared.Rent(3 * n);
        Span<double> x = rented.AsSpan(0, n), y = rented.AsSpan(n, n), z = rented.AsSpan(2 * n, n);
        for (int k = 0; k < n; k++)
        {
            int i = 3 * order[k];
            (x[k], y[k], z[k]) = (_values[i], _values[i + 1], _values[i + 2]);
        }
        if (correction is RigidMotion motion)
        {
            Vector3 shift = motion.Of(Station.Position) - Station.Position;
            for (int i = 0; i < n; i++)
            {
                Vector3 p = motion.Turn(new(x[i], y[i], z[i])) + shift;
                (x[i], y[i], z[i]) = (p.X, p.Y, p.Z);
            }
        }
        Frame.Of(x, y, z);
        for (int i = 0; i < n; i++)
        {
            if (Math.Abs(x[i]) > HalfRunMm) continue;
            (x[kept], y[kept], z[kept]) = (x[i], y[i], z[i]);
            kept++;
        }
        SlabPoints points = new(x[..kept].ToArray(), y[..kept].ToArray(), z[..kept].ToArray());
        ArrayPool<double>.Shared.Return(rented);
        return points;
    }

    // Skin away from the edges is plenty: some thousands of its points tell all that a section needs. One stays for each small square, the nearest to its middle as seen from above,
    // so that height has no say in it.
    private bool[]? SurplusSkin()
    {
        const int Squares = 9000;
        double far = AcrossMm - StationFit.SkinMm + 2, run = 2 * (AlongMm + BendMm), wide = AcrossMm - far, per = Math.Sqrt(Squares / (2 * run * wide));
        (Vector3 t, Vector3 u) = (Station.Tangent, Station.IntoDoor);
        int rows = (int)(run * per) + 1, columns = (int)(wide * per) + 1, skins = 0;
        for (int i = 0; i < _count; i++) skins += Math.Abs(u.X * _values[3 * i] + u.Y * _values[3 * i + 1] + u.Z * _values[3 * i + 2]) > far ? 1 : 0;
        if (skins <= Squares) return null;
        bool[] dropped = new bool[_count];
        (int Point, double Off)[] best = ArrayPool<(int, double)>.Shared.Rent(2 * rows * columns);
        Array.Clear(best);
        for (int i = 0; i < _count; i++)
        {
            double x = _values[3 * i], y = _values[3 * i + 1], z = _values[3 * i + 2], across = u.X * x + u.Y * y + u.Z * z, beyond = Math.Abs(across) - far;
            if (!(beyond > 0)) continue;
            double a = (t.X * x + t.Y * y + t.Z * z + run / 2) * per, b = beyond * per;
            int row = Math.Clamp((int)a, 0, rows - 1), column = Math.Clamp((int)b, 0, columns - 1);
            a -= row + 0.5;
            b -= column + 0.5;
            ref (int Point, double Off) held = ref best[((across > 0 ? rows : 0) + row) * columns + column];
            double off = a * a + b * b;
            // Zero stands for nobody, so points count from one.
            if (held.Point == 0 || off < held.Off || (off == held.Off && IsBefore(i, held.Point - 1)))
            {
                if (held.Point > 0) dropped[held.Point - 1] = true;
                held = (i + 1, off);
            }
            else dropped[i] = true;
        }
        ArrayPool<(int, double)>.Shared.Return(best);
        return dropped;
    }

    private bool IsBefore(int i, int k) => _values.AsSpan(3 * i, 3).SequenceCompareTo(_values.AsSpan(3 * k, 3)) < 0;
}
