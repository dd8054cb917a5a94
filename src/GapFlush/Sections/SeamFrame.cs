using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using GapFlush.Geometry;
using GapFlush.Numerics;
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
    public (double S, double U, double V) Of(Point3 p)
    {
        Vector3 q = p - Station.Position;
        Span<double> x = [q.X], y = [q.Y], z = [q.Z];
        Of(x, y, z);
        return (x[0], y[0], z[0]);
    }

    /// <summary>Turns points, given relative to the station in plan axes, into s, u and v of the curved frame.</summary>
    /// <remarks>In the station's own axes (tangent, normal, square to both) the seam is s + c2 s² + c3 s³, with s along the tangent from the station; Newton's steps find the place whose plane holds the point.</remarks>
    public void Of(Span<double> x, Span<double> y, Span<double> z)
    {
        const double Near = 1e-8;
        Vector3 t = Station.Tangent, n = Station.Normal;
        (Triple tangent, Triple c2After, Triple c2Before, Triple c3After, Triple c3Before) = (new(t), new(_after.Bend), new(_before.Bend), new(_after.Twist), new(_before.Twist));
        (Triple normal, Triple slope, Triple bend) = (new(n), new(_after.NormalSlope), new(_after.NormalBend));
        Vector256<double> two = Vector256.Create(2.0), three = Vector256.Create(3.0), six = Vector256.Create(6.0), least = Vector256.Create(0.2), near = Vector256.Create(Near * Math.Min(_after.LengthMm, _before.LengthMm)), side = Vector256.Create((double)Side);
        for (int i = 0; i < x.Length; i += Lanes.Width)
        {
            Triple q = new(Lanes.Load(x, i), Lanes.Load(y, i), Lanes.Load(z, i));
            Vector256<double> s = q.Dot(tangent), isAfter = Vector256.GreaterThanOrEqual(s, Vector256<double>.Zero);
            Triple c2 = Triple.Select(isAfter, c2After, c2Before), c3 = Triple.Select(isAfter, c3After, c3Before), at, along;
            for (int pass = 0; pass < 4; pass++)
            {
                at = s * (tangent + s * (c2 + s * c3));
                along = tangent + s * (two * c2 + three * s * c3);
                Triple left = q - at;
                // Newton on (q - c).c' = 0; the bend term is what a point away from the seam needs.
                Vector256<double> square = along.Dot(along), down = square - left.Dot(two * c2 + six * s * c3);
                down = Vector256.ConditionalSelect(Vector256.GreaterThan(down, least * square), down, square);
                Vector256<double> step = left.Dot(along) / down;
                s += step;
                if (Vector256.LessThanAll(Vector256.Abs(step), near)) break;
            }
            at = s * (tangent + s * (c2 + s * c3));
            along = tangent + s * (two * c2 + three * s * c3);
            along *= Vector256<double>.One / Vector256.Sqrt(along.Dot(along));
            Triple up = normal + s * (slope + s * bend);
            up -= up.Dot(along) * along;
            up *= Vector256<double>.One / Vector256.Sqrt(up.Dot(up));
            Triple off = q - at;
            Lanes.Store(s, x, i);
            Lanes.Store(side * off.Dot(up.Cross(along)), y, i);
            Lanes.Store(off.Dot(up), z, i);
        }
    }

    // Four vectors at a time.
    private readonly struct Triple(Vector256<double> x, Vector256<double> y, Vector256<double> z)
    {
        private readonly Vector256<double> _x = x, _y = y, _z = z;

        public Triple(Vector3 v) : this(Vector256.Create(v.X), Vector256.Create(v.Y), Vector256.Create(v.Z)) { }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Triple operator +(Triple a, Triple b) => new(a._x + b._x, a._y + b._y, a._z + b._z);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Triple operator -(Triple a, Triple b) => new(a._x - b._x, a._y - b._y, a._z - b._z);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Triple operator *(Vector256<double> s, Triple a) => new(s * a._x, s * a._y, s * a._z);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Triple operator *(Triple a, Vector256<double> s) => s * a;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Vector256<double> Dot(Triple b) => _x * b._x + _y * b._y + _z * b._z;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Triple Cross(Triple b) => new(_y * b._z - _z * b._y, _z * b._x - _x * b._z, _x * b._y - _y * b._x);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Triple Select(Vector256<double> mask, Triple a, Triple b) =>
            new(Vector256.ConditionalSelect(mask, a._x, b._x), Vector256.ConditionalSelect(mask, a._y, b._y), Vector256.ConditionalSelect(mask, a._z, b._z));
    }

    // From the station towards one neighbour: the seam's course as tangent s + Bend s² + Twist s³, s being positive along the tangent either way.
    private readonly struct Segment
    {
        public Segment(Station from, Station to, int sense)
        {
            Vector3 chord = to.Position - from.Position, t0 = sense * from.Tangent, t1 = sense * to.Tangent;
            double angle = Math.Acos(Math.Clamp(t0.Dot(t1), -1, 1)), straight = chord.Length;
            // Where tangents and chord disagree (a corner without stations on it), the neighbour says nothing about the seam here: go straight on.
            IsUsable = straight is > 1e-6 and < FarthestMm && angle < 1.6 && t0.Dot(chord) > 0.3 * straight && t1.Dot(chord) > 0.3 * straight;
            LengthMm = !IsUsable ? 50 : angle > 1e-6 ? straight * (angle / 2) / Math.Sin(angle / 2) : straight;
            if (!IsUsable) return;
            Vector3 d0 = LengthMm * t0, d1 = LengthMm * t1;
            Bend = 1 / (LengthMm * LengthMm) * (3 * chord - 2 * d0 - d1);
            Twist = sense / (LengthMm * LengthMm * LengthMm) * (d0 + d1 - 2 * chord);
        }

        public bool IsUsable { get; }

        public double LengthMm { get; }

        public Vector3 Bend { get; }

        public Vector3 Twist { get; }

        public Vector3 NormalSlope { get; private init; }

        public Vector3 NormalBend { get; private init; }

        public Segment With(Vector3 slope, Vector3 bend) => this with { NormalSlope = slope, NormalBend = bend };
    }
}
