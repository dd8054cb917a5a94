using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Registration;

/// <summary>The nominal seam of a door as a row of places, closer than its stations.</summary>
internal sealed class SeamCurve
{
    private const double StepMm = 15;

    // Farther apart, stations say little of the seam between them.
    private const double FarthestMm = 120;

    private SeamCurve(Place[] places)
    {
        Places = places;
        Point3[] positions = new Point3[places.Length];
        for (int i = 0; i < positions.Length; i++) positions[i] = places[i].Position;
        Centre = Point3.Mean(positions);
        foreach (Point3 p in positions) SizeMm = Math.Max(SizeMm, p.DistanceTo(Centre));
    }

    /// <summary>A place on the seam, with the direction into the door and the skin's normal.</summary>
    internal readonly record struct Place(Point3 Position, Vector3 IntoDoor, Vector3 Normal);

    public Place[] Places { get; }

    public Point3 Centre { get; }

    /// <summary>Farthest place from the centre, mm.</summary>
    public double SizeMm { get; }

    /// <summary>Lays the cubic through neighbouring stations that has their tangents.</summary>
    public static SeamCurve Of(Door door)
    {
        int n = door.Stations.Count, count = 0;
        Place[] places = new Place[8 * n];
        for (int i = 0; i < n; i++)
        {
            (Station a, Station b) = (door.Stations[i], door.Stations[(i + 1) % n]);
            places[count++] = new(a.Position, a.IntoDoor, a.Normal);
            Vector3 chord = b.Position - a.Position;
            double length = chord.Length;
            if (length > FarthestMm || a.Tangent.Dot(chord) < 0.7 * length || b.Tangent.Dot(chord) < 0.7 * length) continue;
            int steps = (int)(length / StepMm);
            for (int k = 1; k < steps; k++)
            {
                double w = (double)k / steps, v = w * w;
                Vector3 c2 = 3 * chord - 2 * length * a.Tangent - length * b.Tangent, c3 = length * (a.Tangent + b.Tangent) - 2 * chord;
                places[count++] = new(a.Position + (w * length * a.Tangent + v * c2 + v * w * c3), ((1 - w) * a.IntoDoor + w * b.IntoDoor).ToUnit(), ((1 - w) * a.Normal + w * b.Normal).ToUnit());
            }
        }
        return new(places[..count]);
    }

    /// <summary>The same seam on the other side of a mirror; any mirror will do, as they differ by a turn.</summary>
    public SeamCurve Mirrored() => new(Array.ConvertAll(Places, p => new Place(p.Position with { Y = -p.Position.Y }, p.IntoDoor with { Y = -p.IntoDoor.Y }, p.Normal with { Y = -p.Normal.Y })));

    /// <summary>Distance of a point from the nearest place, mm.</summary>
    public double DistanceTo(Point3 p)
    {
        double least = double.PositiveInfinity;
        foreach (Place place in Places)
        {
            Vector3 d = p - place.Position;
            least = Math.Min(least, d.Dot(d));
        }
        return Math.Sqrt(least);
    }
}
