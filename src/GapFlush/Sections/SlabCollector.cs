using System.Runtime.CompilerServices;
using GapFlush.Geometry;
using GapFlush.Scans;

namespace GapFlush.Sections;

/// <summary>Sorts points into the slabs of the stations they lie near; all others are let go at once.</summary>
internal sealed class SlabCollector : IPointSieve
{
    private const double CellMm = 16;
    private readonly StationSlab[] _slabs;
    private readonly Point3[] _places;
    private readonly Vector3 _r1, _r2, _r3, _shift;
    private readonly double _x0, _y0, _z0;
    private readonly int _nx, _ny, _nz;
    private readonly int[] _cells;
    private readonly int[][] _near;

    public SlabCollector(StationSlab[] slabs, RigidMotion motion, double toMm)
    {
        _slabs = slabs;
        _places = [.. slabs.Select(s => s.Station.Position)];
        (_r1, _r2, _r3, _shift) = (toMm * motion.Row1, toMm * motion.Row2, toMm * motion.Row3, motion.Shift);
        double reach = slabs.Max(s => s.ReachMm) + CellMm;
        Point3[] at = _places;
        (_x0, _y0, _z0) = (at.Min(p => p.X) - reach, at.Min(p => p.Y) - reach, at.Min(p => p.Z) - reach);
        (_nx, _ny, _nz) = (Cells(at.Max(p => p.X) + reach - _x0), Cells(at.Max(p => p.Y) + reach - _y0), Cells(at.Max(p => p.Z) + reach - _z0));
        _cells = new int[_nx * _ny * _nz];
        List<List<int>> lists = [[]];
        for (int i = 0; i < slabs.Length; i++)
        {
            double r = slabs[i].ReachMm, half = CellMm * Math.Sqrt(3) / 2;
            Point3 p = at[i];
            for (int x = Cell(p.X - r - _x0); x <= Cell(p.X + r - _x0); x++)
                for (int y = Cell(p.Y - r - _y0); y <= Cell(p.Y + r - _y0); y++)
                    for (int z = Cell(p.Z - r - _z0); z <= Cell(p.Z + r - _z0); z++)
                    {
                        Vector3 d = new Point3(_x0 + (x + 0.5) * CellMm, _y0 + (y + 0.5) * CellMm, _z0 + (z + 0.5) * CellMm) - p;
                        if (Math.Abs(d.Dot(slabs[i].Station.Tangent)) > slabs[i].AlongMm + slabs[i].BendMm + half || d.Dot(slabs[i].Station.Normal) > slabs[i].HighMm + half || d.Dot(slabs[i].Station.Normal) < -slabs[i].DeepMm - half
                            || Math.Abs(d.Dot(slabs[i].Station.IntoDoor)) > slabs[i].AcrossMm + half) continue;
                        ref int cell = ref _cells[(x * _ny + y) * _nz + z];
                        if (cell == 0)
                        {
                            cell = lists.Count;
                            lists.Add([]);
                        }
                        lists[cell].Add(i);
                    }
        }
        _near = [.. lists.Select(l => l.ToArray())];
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

    private sealed class Tray(SlabCollector all) : IPointTray
    {
        private int[] _slab = new int[1024];
        private float[] _values = new float[3 * 1024];
        private int _count;

        [MethodImpl(MethodImplOptions.AggressiveOptimization)]
        public void Sift(ReadOnlySpan<double> coordinates)
        {
            const double PerCell = 1 / CellMm;
            // In cells from the corner of the grid; plain numbers, which stay in registers.
            double r1X = PerCell * all._r1.X, r1Y = PerCell * all._r1.Y, r1Z = PerCell * all._r1.Z, x0 = PerCell * (all._shift.X - all._x0);
            double r2X = PerCell * all._r2.X, r2Y = PerCell * all._r2.Y, r2Z = PerCell * all._r2.Z, y0 = PerCell * (all._shift.Y - all._y0);
            double r3X = PerCell * all._r3.X, r3Y = PerCell * all._r3.Y, r3Z = PerCell * all._r3.Z, z0 = PerCell * (all._shift.Z - all._z0);
            int nx = all._nx, ny = all._ny, nz = all._nz;
            int[][] near = all._near;
            int[] cells = all._cells;
            for (int i = 0; i + 2 < coordinates.Length; i += 3)
            {
                double a = coordinates[i], b = coordinates[i + 1], c = coordinates[i + 2];
                double fx = r1X * a + r1Y * b + r1Z * c + x0, fy = r2X * a + r2Y * b + r2Z * c + y0, fz = r3X * a + r3Y * b + r3Z * c + z0;
                if (!(fx >= 0 && fy >= 0 && fz >= 0 && fx < nx && fy < ny && fz < nz)) continue;
                int cell = cells[((int)fx * ny + (int)fy) * nz + (int)fz];
                if (cell == 0) continue;
                double x = CellMm * fx + all._x0, y = CellMm * fy + all._y0, z = CellMm * fz + all._z0;
                foreach (int k in near[cell])
                {
                    Point3 p = all._places[k];
                    (double dx, double dy, double dz) = (x - p.X, y - p.Y, z - p.Z);
                    if (!all._slabs[k].Holds(dx, dy, dz)) continue;
                    if (_count == _slab.Length)
                    {
                        Array.Resize(ref _slab, 2 * _count);
                        Array.Resize(ref _values, 6 * _count);
                    }
                    _slab[_count] = k;
                    (_values[3 * _count], _values[3 * _count + 1], _values[3 * _count + 2]) = ((float)dx, (float)dy, (float)dz);
                    _count++;
                }
            }
        }

        public void HandOver()
        {
            for (int i = 0; i < _count; i++) all._slabs[_slab[i]].Take(_values[3 * i], _values[3 * i + 1], _values[3 * i + 2]);
            _count = 0;
        }
    }
}
