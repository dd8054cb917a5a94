using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Drains;

/// <summary>The channels of a door as shapes on an outline map: floor, way of the water, outlets, ponds and stations at risk, in one attitude.</summary>
public static class ChannelLayer
{
    /// <summary>Draws the layer.</summary>
    /// <param name="channels">The channels of the door.</param>
    /// <param name="attitude">Index of the attitude in the channels' lists.</param>
    /// <param name="door">The door, for the places of its stations.</param>
    /// <param name="toSheet">From the plan's axes to the sheet: the map's own projection.</param>
    public static Group Draw(IEnumerable<ChannelResult> channels, int attitude, Door door, Func<Point3, Place> toSheet)
    {
        List<Shape> shapes = [];
        foreach (ChannelResult channel in channels.Where(c => attitude < c.Attitudes.Count))
        {
            ChannelInAttitude at = channel.Attitudes[attitude];
            ChannelFloor floor = at.Water.Floor;
            // The plan's own places: a measured height or turned axes do not move a channel on the map.
            Dictionary<string, Place> placeOf = channel.Channel.Points.ToDictionary(p => p.Name, p => toSheet(p.Position));
            Place[] places = [.. floor.Points.Select(p => placeOf[p.Name])];
            List<Shape> of = [new Trail(places, new(Palette.Grey, 0.7))];
            for (int r = 0; r < at.Water.Runs.Count; r++)
            {
                (Place a, Place b) = (places[r], places[r + 1]);
                double level = Math.Min(at.Water.LevelMm[r], at.Water.LevelMm[r + 1]), floorA = at.Water.HeightMm[r], floorB = at.Water.HeightMm[r + 1];
                if (level - Math.Min(floorA, floorB) > 1e-6)
                {
                    double from = floorA > level ? (floorA - level) / (floorA - floorB) : 0, to = floorB > level ? (level - floorA) / (floorB - floorA) : 1;
                    of.Add(Trail.Line(a.X + from * (b.X - a.X), a.Y + from * (b.Y - a.Y), a.X + to * (b.X - a.X), a.Y + to * (b.Y - a.Y), new(Palette.Blue, 1.8)));
                }
                if (at.Water.Runs[r].TowardsLast is bool on && (b - a).Length > 4) of.Add(Arrow(on ? a : b, on ? b : a));
            }
            for (int i = 0; i < places.Length; i++)
            {
                if (floor.Points[i].IsOutlet) of.Add(new Disc(places[i], 1.1, new(Palette.Blue, 0.5), Palette.White));
            }
            foreach (string station in at.Ingress.Where(i => i.IsKnown).Select(i => i.Station).Distinct())
            {
                if (door.Find(station) is not Station risk) continue;
                Place here = toSheet(risk.Position);
                // A ring with a bar: a station at risk.
                of.Add(new Disc(here, 2.6, new(Palette.Red, 0.6)));
                of.Add(Trail.Line(here.X - 1.8, here.Y + 1.8, here.X + 1.8, here.Y - 1.8, new(Palette.Red, 0.6)));
            }
            shapes.Add(new Group($"channel-{Plain(channel.Channel.Name)}", $"Channel {channel.Channel.Name} in attitude {at.Attitude.Name}", of));
        }
        return new($"channels-{Plain(door.Code)}", "Drain channels", shapes);
    }

    private static Trail Arrow(Place from, Place to)
    {
        double length = (to - from).Length, ux = (to.X - from.X) / length, uy = (to.Y - from.Y) / length;
        Place tip = new((from.X + to.X) / 2 + ux, (from.Y + to.Y) / 2 + uy);
        return new([tip, new(tip.X - 2 * ux + 0.9 * uy, tip.Y - 2 * uy - 0.9 * ux), new(tip.X - 2 * ux - 0.9 * uy, tip.Y - 2 * uy + 0.9 * ux)], null, Palette.Grey, Closed: true);
    }

    private static string Plain(string name) => string.Concat(name.Select(c => char.IsAsciiLetterOrDigit(c) ? c : '-'));
}
