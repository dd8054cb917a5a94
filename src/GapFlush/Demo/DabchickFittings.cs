using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>What holds the doors of the Dabchick, and where the water round them runs.</summary>
internal static class DabchickFittings
{
    /// <summary>Hinges and latches of a door.</summary>
    public static IEnumerable<Adjuster> Adjusters(Door door)
    {
        Station[] hinge = [.. door.Stations.Where(s => s.Zone == "hinge").OrderBy(s => s.Position.Z)];
        Station[] latch = [.. door.Stations.Where(s => s.Zone == "latch").OrderBy(s => s.Position.Z)];
        (Station lower, Station upper) = (hinge[1], hinge[^2]);
        double sign = door.Hand == Hand.Right ? 1 : -1;   // outwards
        yield return At("upper-hinge-shim", upper, 25, upper.Normal, -2, 2, 0.25);
        yield return At("lower-hinge-shim", lower, 25, lower.Normal, -2, 2, 0.25);
        yield return At("upper-hinge-slot", upper, 25, new(1, 0, 0), -1.5, 1.5, null);
        yield return At("lower-hinge-slot", lower, 25, new(1, 0, 0), -1.5, 1.5, null);
        yield return At("hinge-height", lower, 25, new(0, 0, 1), -1.5, 1.5, 0.5);
        if (door.Code == "B1")
        {
            // Two latches, as on many baggage doors: one hold more than a rigid door needs.
            yield return At("upper-latch", latch[^1], 20, new(0, sign, 0), -1.5, 1.5, 0.25);
            yield return At("lower-latch", latch[0], 20, new(0, sign, 0), -1.5, 1.5, 0.25);
        }
        else
        {
            yield return At("latch-striker", latch[latch.Length / 2], 20, latch[latch.Length / 2].Normal, -2, 2, 0.25);
        }

        Adjuster At(string name, Station s, double insideMm, Vector3 direction, double minimum, double maximum, double? step) =>
            new(door.Code, name, DabchickDoors.Rounded(s.Position + insideMm * s.IntoDoor - 15 * s.Normal), direction, minimum, maximum, step);
    }

    /// <summary>Drain channels of a door: a hoop over a cabin door, and a sill channel.</summary>
    public static IEnumerable<Channel> Channels(Door door)
    {
        // Walked forward to aft on either hand.
        List<Station> stations = [.. door.Stations];
        if (door.Hand == Hand.Right) stations.Reverse();
        if (door.Code != "B1") yield return Hoop(door, stations);
        yield return Sill(door, stations);
    }

    /// <summary>A rain gutter on the skin over the door: highest over the middle of the header, both ends open half way down the posts.</summary>
    private static Channel Hoop(Door door, List<Station> stations)
    {
        Station[] header = [.. stations.Where(s => s.Zone == "header")];
        Station[] over = [.. stations.Where(s => s.Zone is "hinge" or "latch").Where(s => s.Position.Z > 640),
            .. stations.Where(s => s.Zone is "header" or "corner-upper-forward" or "corner-upper-aft")];
        over = [.. over.OrderBy(s => stations.IndexOf(s))];
        // On the port side the walk passes hinge, header, latch in one run; the mirrored walk turned round does the same.
        double middle = header.Average(s => s.Position.X), half = (header.Max(s => s.Position.X) - header.Min(s => s.Position.X)) / 2 + 60;
        List<ChannelPoint> points = [];
        foreach (Station s in over)
        {
            double crown = s.Zone is "hinge" or "latch" ? 0 : 12 * Math.Max(0, 1 - Math.Abs(s.Position.X - middle) / half);
            Point3 p = DabchickDoors.Rounded(s.Position - (32 + crown) * s.IntoDoor + 6 * s.Normal);
            bool end = points.Count == 0 || points.Count == over.Length - 1;
            points.Add(new(Invariant($"{points.Count + 1}"), p, ChannelShape.Rectangular, 12, 6, null, 0.010,
                end ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, 0.02, 0.5, 0));
        }
        return new(door.Code + "-hoop", door.Code, points);
    }

    /// <summary>The channel in the sill: highest in the middle, a drain hole at each end.</summary>
    private static Channel Sill(Door door, List<Station> stations)
    {
        Station[] sill = [.. stations.Where(s => s.Zone == "sill").OrderBy(s => s.Position.X)];
        double crown = sill[(sill.Length - 1) / 2].Position.X, top = sill.Min(s => s.Position.Z) - 19;
        // The baggage sill bends inboard going aft, so a list of 3 degrees takes 0.9 % of its fall.
        double slope = door.Code == "B1" ? 0.020 : 0.012;
        double hole = door.Code == "B1" ? 6 : 8;
        return new(door.Code + "-sill", door.Code, [.. sill.Select((s, i) =>
        {
            Point3 inboard = s.Position - 24 * s.Normal;
            Point3 p = DabchickDoors.Rounded(new Point3(inboard.X, inboard.Y, top - slope * Math.Abs(s.Position.X - crown)));
            bool end = i == 0 || i == sill.Length - 1;
            return new ChannelPoint(Invariant($"{i + 1}"), p, ChannelShape.Trapezoidal, 14, 8, 0.3, 0.010,
                end ? ChannelOutlet.Hole : ChannelOutlet.None, end ? hole : null, 0.004, 0.5, 0);
        })]);
    }
}
