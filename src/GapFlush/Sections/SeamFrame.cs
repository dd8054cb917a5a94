using System.Runtime.CompilerServices;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>The nominal seam near one station as a curve with a moving frame, so that points are seen square to the seam wherever they lie along it.</summary>
/// <remarks>
/// <para>Between two stations the seam is the cubic that has their places and tangents, with an arc's length between them; the skin normal follows a parabola through
/// three stations.
/// METHOD.md, eq. 21. On a 100 mm corner with stations 60 mm apart the cubic departs from the arc by 0.014 mm at 12 mm from a station, alike for both sides.</para>
/// </remarks>
internal sealed class SeamFrame
{
    // Farther apart, stations say little of the seam between them: it is then taken as straight, and the fit finds its bend.
    private const double FarthestMm = 120;

    private readonly Segment _before, _after;

    public SeamFrame(Door door, int index)
    {
        int n = door.Stations.Count;
        Station = door.Stations[index];
        (Station previous, Station next) = (door.Stations[(index + n - 1) % n], door.Stations[(index + 1) % n]);
        Vector3 cross = Station.Normal.Cross(Station.Tangent);
        Side = cross.Dot(Station.IntoDoor) >= 0 ? 1 : -1;
        (Segment after, Segment before) = (new(Station, next, +1), new(Station, previous, -1));
        // Skin normals: one parabola through three stations, so that the frame has no kink at the station. A kink of the twist that a barrel has on a door's corner
        // tilted both skins by 2 mrad and cost 7 um of flush.
        (Vector3 slope, Vector3 bend) = (default, default);
        if (after.IsUsable && before.IsUsable)
        {
            (double b, double a) = (after.LengthMm, before.LengthMm);
            (Vector3 up, Vector3 down) = ((next.Normal - Station.Normal) / b, (previous.Normal - Station.Normal) / -a);
            slope = (a * up + b * down) / (a + b);
            bend = (up - down) / (a + b);
        }
        else if (after.IsUsable) slope = (next.Normal - Station.Normal) / after.LengthMm;
        else if (before.IsUsable) slope = (previous.Normal - Station.Normal) / -before.LengthMm;
        (_after, _before) = (after.With(slope, bend), before.With(slope, bend));
    }

    public Station Station { get; }

    /// <summary>+1 where u is n × t, -1 where it is the opposite.</summary>
    public int Side { get; }

    /// <summary>Coordinates of a point in the curved frame, mm.</summary>
    public (double S, double U, double V) Of(Point3 p) => ((p - Station.Position).Dot(Station.Tangent) >= 0 ? _after : _before).Of(p, Side);

    // From the station towards one neighbour; the parameter runs from 0 at the station to 1, and a little to the other side.
    private readonly struct Segment
    {
        private readonly Point3 _a;
        private readonly Vector3 _c1, _c2, _c3, _n0;
        private readonly double _length;
        private readonly int _sense;

        public Segment(Station from, Station to, int sense)
        {
            Vector3 chord = to.Position - from.Position, t0 = sense * from.Tangent, t1 = sense * to.Tangent;
            double angle = Math.Acos(Math.Clamp(t0.Dot(t1), -1, 1)), straight = chord.Length;
            // Where tangents and chord disagree (a corner without stations on it), the neighbour says nothing about the seam here: go straight on.
            bool usable = straight is > 1e-6 and < FarthestMm && angle < 1.6 && t0.Dot(chord) > 0.3 * straight && t1.Dot(chord) > 0.3 * straight;
            _length = angle > 1e-6 ? straight * (angle / 2) / Math.Sin(angle / 2) : straight;
            if (!usable) _length = 50;
            _a = from.Position;
            _sense = sense;
            Vector3 d0 = _length * t0, d1 = _length * t1;
            _c1 = d0;
            _c2 = usable ? 3 * chord - 2 * d0 - d1 : default;
            _c3 = usable ? d0 + d1 - 2 * chord : default;
            _n0 = from.Normal;
            IsUsable = usable;
        }

        public bool IsUsable { get; }

        public double LengthMm => _length;

        private Vector3 NormalSlope { get; init; }

        private Vector3 NormalBend { get; init; }

        public Segment With(Vector3 slope, Vector3 bend) => this with { NormalSlope = slope, NormalBend = bend };

        [MethodImpl(MethodImplOptions.AggressiveOptimization)]
        public (double S, double U, double V) Of(Point3 p, int side)
        {
            Vector3 q = p - _a;
            double w = q.Dot(_c1) / _c1.Dot(_c1);
            Vector3 at = default, along = _c1;
            for (int pass = 0; pass < 4; pass++)
            {
                at = w * (_c1 + w * (_c2 + w * _c3));
                along = _c1 + w * (2 * _c2 + 3 * w * _c3);
                Vector3 left = q - at;
                Vector3 bend = 2 * _c2 + 6 * w * _c3;
                // Newton on (q - c).c' = 0; the bend term is what a point away from the seam needs.
                double slope = along.Dot(along) - left.Dot(bend);
                if (!(slope > 0.2 * along.Dot(along))) slope = along.Dot(along);
                double step = left.Dot(along) / slope;
                w += step;
                if (Math.Abs(step) < 1e-8) break;
            }
            at = w * (_c1 + w * (_c2 + w * _c3));
            along = _c1 + w * (2 * _c2 + 3 * w * _c3);
            double scale = 1 / along.Length;
            double s = _sense * w * _length;
            Vector3 t = _sense * scale * along, n = _n0 + s * (NormalSlope + s * NormalBend);
            n -= n.Dot(t) * t;
            n = 1 / n.Length * n;
            Vector3 off = q - at;
            return (s, side * off.Dot(n.Cross(t)), off.Dot(n));
        }
    }
}
