using System.Runtime.CompilerServices;
using GapFlush.Geometry;

namespace GapFlush.Sections;

/// <summary>Sorts points into the slabs of the stations they lie near; all others are let go at once.</summary>
internal sealed class SlabCollector
{
    private const double CellMm = 16;
    private readonly StationSlab[] _slabs;
    private readonly Vector3 _r1, _r2, _r3, _shift;
    private readonly double _x0, _y0, _z0;
    private readonly int _nx, _ny, _nz;
    private readonly int[]?[] _cells;

    public SlabCollector(StationSlab[] slabs, RigidMotion motion, double toMm)
    {
        _slabs = slabs;
        (_r1, _r2, _r3, _shift) = (toMm * motion.Row1, toMm * motion.Row2, toMm * motion.Row3, motion.Shift);
        double reach = slabs.Max(s => s.ReachMm) + CellMm;
        Point3[] at = [.. slabs.Select(s => s.Station.Position)];
        (_x0, _y0, _z0) = (at.Min(p => p.X) - reach, at.Min(p => p.Y) - reach, at.Min(p => p.Z) - reach);
        (_nx, _ny, _nz) = (Cells(at.Max(p => p.X) + reach - _x0), Cells(at.Max(p => p.Y) + reach - _y0), Cells(at.Max(p => p.Z) + reach - _z0));
        _cells = new int[]?[_nx * _ny * _nz];
        List<int>[] lists = new List<int>[_cells.Length];
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
                        (lists[(x * _ny + y) * _nz + z] ??= []).Add(i);
                    }
        }
        for (int i = 0; i < lists.Length; i++) _cells[i] = lists[i]?.ToArray();
    }

    /// <summary>Takes a block of points in the scan's own axes and unit.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(ReadOnlySpan<double> coordinates)
    {
        const double PerCell = 1 / CellMm;
        for (int i = 0; i + 2 < coordinates.Length; i += 3)
        {
            double a = coordinates[i], b = coordinates[i + 1], c = coordinates[i + 2];
            double x = _r1.X * a + _r1.Y * b + _r1.Z * c + _shift.X, y = _r2.X * a + _r2.Y * b + _r2.Z * c + _shift.Y, z = _r3.X * a + _r3.Y * b + _r3.Z * c + _shift.Z;
            double fx = (x - _x0) * PerCell, fy = (y - _y0) * PerCell, fz = (z - _z0) * PerCell;
            if (!(fx >= 0 && fy >= 0 && fz >= 0 && fx < _nx && fy < _ny && fz < _nz)) continue;
            int[]? near = _cells[((int)fx * _ny + (int)fy) * _nz + (int)fz];
            if (near is null) continue;
            foreach (int k in near)
            {
                Point3 p = _slabs[k].Station.Position;
                _slabs[k].Offer(x - p.X, y - p.Y, z - p.Z);
            }
        }
    }

    private static int Cells(double length) => (int)Math.Ceiling(length / CellMm) + 1;

    private static int Cell(double offset) => (int)Math.Floor(offset / CellMm);
}
