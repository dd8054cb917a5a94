using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Scans;
using Vector3 = GapFlush.Geometry.Vector3;

namespace GapFlush.Sections;

/// <summary>Sorts points into the slabs of the stations they lie near; all others are let go at once.</summary>
/// <remarks>Eight points at a time are looked up in a coarse grid, in floats about the middle of the door, which are good to a micrometre there; those of a cell near a station are then placed exactly.</remarks>
internal sealed class SlabCollector : IPointSieve
{
    private const double CellMm = 10;

    // What floats may be off by, many times over.
    private const double SlackMm = 0.05;

    private readonly StationSlab[] _slabs;
    private readonly StationSlab.Box[] _boxes;
    private readonly Vector3 _r1, _r2, _r3, _shift, _middle;
    private readonly double _x0, _y0, _z0;
    private readonly int _nx, _ny, _nz;
    private readonly int[] _cells;
    private readonly int[][] _near;

    public SlabCollector(StationSlab[] slabs, RigidMotion motion, double toMm)
    {
        _slabs = slabs;
        _boxes = [.. slabs.Select(s => s.Limits)];
        (_r1, _r2, _r3, _shift) = (toMm * motion.Row1, toMm * motion.Row2, toMm * motion.Row3, motion.Shift);
        double reach = slabs.Max(s => s.ReachMm) + CellMm;
        Point3[] at = [.. slabs.Select(s => s.Station.Position)];
        (_x0, _y0, _z0) = (at.Min(p => p.X) - reach, at.Min(p => p.Y) - reach, at.Min(p => p.Z) - reach);
        (_nx, _ny, _nz) = (Cells(at.Max(p => p.X) + reach - _x0), Cells(at.Max(p => p.Y) + reach - _y0), Cells(at.Max(p => p.Z) + reach - _z0));
        _cells = new int[_nx * _ny * _nz];
        List<int[]> lists = [[]];
        Dictionary<(int, int), int> longer = [];
        for (int i = 0; i < slabs.Length; i++)
        {
            (StationSlab slab, Point3 p) = (slabs[i], at[i]);
            double r = slab.ReachMm;
            (Vector3 t, Vector3 n, Vector3 u) = (slab.Station.Tangent, slab.Station.Normal, slab.Station.IntoDoor);
            (double along, double across, double high, double deep) = (slab.AlongMm + slab.BendMm + Half(t), slab.AcrossMm + Half(u), slab.HighMm + Half(n), slab.DeepMm + Half(n));
            for (int x = Cell(p.X - r - _x0); x <= Cell(p.X + r - _x0); x++)
                for (int y = Cell(p.Y - r - _y0); y <= Cell(p.Y + r - _y0); y++)
                    for (int z = Cell(p.Z - r - _z0); z <= Cell(p.Z + r - _z0); z++)
                    {
                        Vector3 d = new Point3(_x0 + (x + 0.5) * CellMm, _y0 + (y + 0.5) * CellMm, _z0 + (z + 0.5) * CellMm) - p;
                        double up = d.Dot(n);
                        if (Math.Abs(d.Dot(t)) > along || Math.Abs(d.Dot(u)) > across || up > high || up < -deep) continue;
                        ref int cell = ref _cells[(x * _ny + y) * _nz + z];
                        // Cells between the same stations share a list, so that few numbers do however long the seam.
                        cell = With(cell, i);
                    }
        }
        _near = [.. lists];
        // The middle of the door in the scan's own axes.
        _middle = 1 / toMm * motion.Inverse().Of(Point3.Mean(at)).FromOrigin;

        // How far a cell reaches from its middle in a direction.
        static double Half(Vector3 d) => CellMm / 2 * (Math.Abs(d.X) + Math.Abs(d.Y) + Math.Abs(d.Z)) + SlackMm;

        // The list that is another and one station more.
        int With(int list, int station)
        {
            if (longer.TryGetValue((list, station), out int known)) return known;
            int made = lists.Count;
            lists.Add([.. lists[list], station]);
            return longer[(list, station)] = made;
        }
    }

    public IPointTray NewTray() => new Tray(this);

    /// <summary>Takes a block of points in the scan's own axes and unit.</summary>
    public void Add(ReadOnlySpan<double> coordinates)
    {
        IPointTray tray = NewTray();
        tray.Sift(coordinates);
        tray.HandOver();
    }

    private static int Cells(double length) => (int)Math.Ceiling(length / CellMm) + 1;

    private static int Cell(double offset) => (int)Math.Floor(offset / CellMm);

    private sealed class Tray : IPointTray
    {
        private readonly SlabCollector _all;
        private readonly float[] _rows;
        private int[] _slab = new int[1024];
        private float[] _values = new float[3 * 1024];
        private int _count;

        public Tray(SlabCollector all)
        {
            const double PerCell = 1 / CellMm;
            _all = all;
            // In cells from the corner of the grid, for points counted from the middle of the door.
            Vector3 m = all._middle;
            _rows =
            [
                .. Row(all._r1, PerCell * (all._r1.Dot(m) + all._shift.X - all._x0)),
                .. Row(all._r2, PerCell * (all._r2.Dot(m) + all._shift.Y - all._y0)),
                .. Row(all._r3, PerCell * (all._r3.Dot(m) + all._shift.Z - all._z0)),
            ];

            static float[] Row(Vector3 r, double start) => [(float)(PerCell * r.X), (float)(PerCell * r.Y), (float)(PerCell * r.Z), (float)start];
        }

        public void Sift(ReadOnlySpan<double> coordinates)
        {
            int done = Vector256.IsHardwareAccelerated ? Eights(coordinates) : 0;
            Vector3 m = _all._middle;
            for (int i = done; i + 2 < coordinates.Length; i += 3)
            {
                (float a, float b, float c) = ((float)(coordinates[i] - m.X), (float)(coordinates[i + 1] - m.Y), (float)(coordinates[i + 2] - m.Z));
                float x = Of(0, a, b, c), y = Of(4, a, b, c), z = Of(8, a, b, c);
                if (x >= 0 && y >= 0 && z >= 0 && x < _all._nx && y < _all._ny && z < _all._nz && _all._cells[((int)x * _all._ny + (int)y) * _all._nz + (int)z] is > 0 and int cell) Place(coordinates[i], coordinates[i + 1], coordinates[i + 2], cell);
            }

            float Of(int row, float a, float b, float c) => _rows[row] * a + _rows[row + 1] * b + _rows[row + 2] * c + _rows[row + 3];
        }

        // Returns how many coordinates were dealt with.
        private int Eights(ReadOnlySpan<double> coordinates)
        {
            Vector3 m = _all._middle;
            // Four numbers at a time start with x, y or z in turn.
            Vector256<double> mx = Vector256.Create(m.X, m.Y, m.Z, m.X), my = Vector256.Create(m.Y, m.Z, m.X, m.Y), mz = Vector256.Create(m.Z, m.X, m.Y, m.Z);
            Vector256<int> s0 = Vector256.Create(-1, 0, 0, -1, 0, 0, -1, 0), s1 = Vector256.Create(0, -1, 0, 0, -1, 0, 0, -1), s2 = Vector256.Create(0, 0, -1, 0, 0, -1, 0, 0);
            Vector256<int> px = Vector256.Create(0, 3, 6, 1, 4, 7, 2, 5), py = Vector256.Create(1, 4, 7, 2, 5, 0, 3, 6), pz = Vector256.Create(2, 5, 0, 3, 6, 1, 4, 7);
            float[] f = _rows;
            Vector256<float> r1X = Vector256.Create(f[0]), r1Y = Vector256.Create(f[1]), r1Z = Vector256.Create(f[2]), r10 = Vector256.Create(f[3]);
            Vector256<float> r2X = Vector256.Create(f[4]), r2Y = Vector256.Create(f[5]), r2Z = Vector256.Create(f[6]), r20 = Vector256.Create(f[7]);
            Vector256<float> r3X = Vector256.Create(f[8]), r3Y = Vector256.Create(f[9]), r3Z = Vector256.Create(f[10]), r30 = Vector256.Create(f[11]);
            Vector256<float> nx = Vector256.Create((float)_all._nx), ny = Vector256.Create((float)_all._ny), nz = Vector256.Create((float)_all._nz), none = Vector256<float>.Zero;
            Vector256<int> iy = Vector256.Create(_all._ny), iz = Vector256.Create(_all._nz);
            ReadOnlySpan<int> cells = _all._cells;
            Span<int> at = stackalloc int[8];
            int i = 0;
            for (; i + 24 <= coordinates.Length; i += 24)
            {
                Vector256<float> v0 = Vector256.Narrow(Lanes.Full(coordinates, i) - mx, Lanes.Full(coordinates, i + 4) - my), v1 = Vector256.Narrow(Lanes.Full(coordinates, i + 8) - mz, Lanes.Full(coordinates, i + 12) - mx), v2 = Vector256.Narrow(Lanes.Full(coordinates, i + 16) - my, Lanes.Full(coordinates, i + 20) - mz);
                Vector256<float> x = Vector256.Shuffle(Pick(s0, v0, s1, v1, v2), px), y = Vector256.Shuffle(Pick(s1, v0, s2, v1, v2), py), z = Vector256.Shuffle(Pick(s2, v0, s0, v1, v2), pz);
                Vector256<float> a = r1X * x + r1Y * y + r1Z * z + r10, b = r2X * x + r2Y * y + r2Z * z + r20, d = r3X * x + r3Y * y + r3Z * z + r30;
                Vector256<float> inside = Vector256.GreaterThanOrEqual(a, none) & Vector256.LessThan(a, nx) & Vector256.GreaterThanOrEqual(b, none) & Vector256.LessThan(b, ny) & Vector256.GreaterThanOrEqual(d, none) & Vector256.LessThan(d, nz);
                uint bits = Vector256.ExtractMostSignificantBits(inside);
                if (bits == 0) continue;
                Vector256<int> cell = ((Vector256.ConvertToInt32(a) * iy + Vector256.ConvertToInt32(b)) * iz + Vector256.ConvertToInt32(d)) & inside.AsInt32();
                cell.StoreUnsafe(ref at[0]);
                for (; bits != 0; bits &= bits - 1)
                {
                    int k = BitOperations.TrailingZeroCount(bits), found = cells[at[k]];
                    if (found != 0) Place(coordinates[i + 3 * k], coordinates[i + 3 * k + 1], coordinates[i + 3 * k + 2], found);
                }
            }
            return i;

            // Of three vectors the numbers that are one and the same coordinate of eight points, in a jumbled order.
            [MethodImpl(MethodImplOptions.AggressiveInlining)]
            static Vector256<float> Pick(Vector256<int> first, Vector256<float> v0, Vector256<int> second, Vector256<float> v1, Vector256<float> v2) =>
                Vector256.ConditionalSelect(first.AsSingle(), v0, Vector256.ConditionalSelect(second.AsSingle(), v1, v2));
        }

        private void Place(double px, double py, double pz, int cell)
        {
            SlabCollector all = _all;
            double x = all._r1.X * px + all._r1.Y * py + all._r1.Z * pz + all._shift.X, y = all._r2.X * px + all._r2.Y * py + all._r2.Z * pz + all._shift.Y, z = all._r3.X * px + all._r3.Y * py + all._r3.Z * pz + all._shift.Z;
            foreach (int k in all._near[cell])
            {
                ref readonly StationSlab.Box box = ref all._boxes[k];
                (double dx, double dy, double dz) = (x - box.X, y - box.Y, z - box.Z);
                if (!box.Holds(dx, dy, dz)) continue;
                (float fx, float fy, float fz) = ((float)dx, (float)dy, (float)dz);
                if (!all._slabs[k].Wants(fx, fy, fz)) continue;
                if (_count == _slab.Length)
                {
                    Array.Resize(ref _slab, 2 * _count);
                    Array.Resize(ref _values, 6 * _count);
                }
                _slab[_count] = k;
                (_values[3 * _count], _values[3 * _count + 1], _values[3 * _count + 2]) = (fx, fy, fz);
                _count++;
            }
        }

        public void HandOver()
        {
            for (int i = 0; i < _count; i++) _all._slabs[_slab[i]].Take(_values[3 * i], _values[3 * i + 1], _values[3 * i + 2]);
            _count = 0;
        }
    }
}
