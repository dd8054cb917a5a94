using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>Gathers the points near one station, in bounded memory.</summary>
internal sealed class StationSlab
{
    private readonly int _most;
    private float[] _values = new float[3 * 256];
    private int _count, _stride = 1, _seen;

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
    public int Stride => _stride;

    /// <summary>True where a point, given relative to the station in plan axes, lies in the slab.</summary>
    public bool Holds(double x, double y, double z)
    {
        Vector3 t = Station.Tangent, n = Station.Normal, u = Station.IntoDoor;
        double along = t.X * x + t.Y * y + t.Z * z, up = n.X * x + n.Y * y + n.Z * z, across = u.X * x + u.Y * y + u.Z * z;
        return Math.Abs(along) <= AlongMm + BendMm && up <= HighMm && up >= -DeepMm && Math.Abs(across) <= AcrossMm;
    }

    /// <summary>Takes a point that lies in the slab; every so many once there are too many.</summary>
    public void Take(float x, float y, float z)
    {
        if (_seen++ % _stride != 0) return;
        if (_count == _most)
        {
            for (int i = 0; i < _count / 2; i++) Array.Copy(_values, 6 * i, _values, 3 * i, 3);
            _count /= 2;
            _stride *= 2;
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

    /// <summary>The gathered points in the station's curved axes.</summary>
    public SlabPoints ToPoints(RigidMotion? correction = null)
    {
        List<double> s = new(_count), u = new(_count), v = new(_count);
        Point3 at = Station.Position;
        Vector3 across = Station.IntoDoor;
        // Skin away from the edges is plenty: some thousands of its points tell all that a section needs.
        const int SkinPoints = 6000;
        double far = AcrossMm - StationFit.SkinMm + 2;
        bool IsFar(int i) => Math.Abs(across.X * _values[3 * i] + across.Y * _values[3 * i + 1] + across.Z * _values[3 * i + 2]) > far;
        int skins = 0, seen = 0;
        for (int i = 0; i < _count; i++) skins += IsFar(i) ? 1 : 0;
        int stride = Math.Max(1, skins / SkinPoints);
        for (int i = 0; i < _count; i++)
        {
            if (IsFar(i) && seen++ % stride != 0) continue;
            Point3 p = at + new Vector3(_values[3 * i], _values[3 * i + 1], _values[3 * i + 2]);
            if (correction is RigidMotion motion) p = motion.Of(p);
            (double a, double b, double c) = Frame.Of(p);
            if (Math.Abs(a) > HalfRunMm) continue;
            s.Add(a);
            u.Add(b);
            v.Add(c);
        }
        return new([.. s], [.. u], [.. v]);
    }
}
