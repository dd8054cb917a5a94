using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Drains;

/// <summary>The channels of a door as shapes on an outline map: floor, way of the water, outlets, ponds and stations at risk, in one attitude.</summary>
public static class ChannelLayer
{
    /// <summary>Half the room that a channel takes across, mm.</summary>
    public const double HalfRoomMm = 2.2;

    private const int StepsARun = 12;
    private const double ArrowEveryMm = 11;
    private static readonly Stroke Floor = new(Palette.Grey, 0.7), Wet = new(Palette.Blue, 1.8), Outlet = new(Palette.Blue, 0.5), Risk = new(Palette.Red, 0.6);

    /// <summary>Draws the layer.</summary>
    /// <param name="channels">The channels of the door.</param>
    /// <param name="attitude">Index of the attitude in the channels' lists.</param>
    /// <param name="door">The door, for its stations.</param>
    /// <param name="toSheet">From the plan's axes to the sheet: the map's own way of laying a channel on it.</param>
    /// <param name="stationOnSheet">Where the ring of a station at risk goes.</param>
    public static Group Draw(IEnumerable<ChannelResult> channels, int attitude, Door door, Func<Point3, Place> toSheet, Func<Station, Place> stationOnSheet)
    {
        List<Shape> shapes = [];
        List<Place> ringed = [];
        foreach (ChannelResult channel in channels.Where(c => attitude < c.Attitudes.Count))
        {
            ChannelInAttitude at = channel.Attitudes[attitude];
            ChannelWater water = at.Water;
            ChannelFloor floor = water.Floor;
            Place[][] runs = [.. Enumerable.Range(0, water.Runs.Count).Select(r => Places(channel, floor, r, toSheet))];
            List<Shape> of = [new Trail([.. runs.SelectMany((r, i) => i == 0 ? r : r.Skip(1))], Floor)];
            double since = ArrowEveryMm;
            for (int r = 0; r < runs.Length; r++)
            {
                double level = Math.Min(water.LevelMm[r], water.LevelMm[r + 1]), floorA = water.HeightMm[r], floorB = water.HeightMm[r + 1];
                if (level - Math.Min(floorA, floorB) > 1e-6)
                {
                    double from = floorA > level ? (floorA - level) / (floorA - floorB) : 0, to = floorB > level ? (level - floorA) / (floorB - floorA) : 1;
                    of.Add(new Trail([.. Enumerable.Range(0, StepsARun + 1).Select(k => Along(runs[r], from + (to - from) * k / StepsARun))], Wet));
                }
                double length = Enumerable.Range(1, StepsARun).Sum(k => (runs[r][k] - runs[r][k - 1]).Length);
                since += length;
                if (water.Runs[r].TowardsLast is not bool on || length < 2.4 || since < ArrowEveryMm) continue;
                of.Add(Arrow(Along(runs[r], on ? 0.35 : 0.65), Along(runs[r], on ? 0.65 : 0.35)));
                since = 0;
            }
            for (int i = 0; i < floor.Points.Count; i++)
            {
                if (floor.Points[i].IsOutlet) of.Add(new Disc(i < runs.Length ? runs[i][0] : runs[i - 1][^1], 1.1, Outlet, Palette.White));
            }
            // The worst first; where rings would lie on one another, the words by the pond name the others.
            foreach (string name in at.Ingress.Where(i => i.IsRisk).OrderBy(i => i.CompressionPercent - i.LeastPercent).Select(i => i.Station))
            {
                if (door.Find(name) is not Station risk) continue;
                Place here = stationOnSheet(risk);
                if (ringed.Any(r => (r - here).Length < 4.2)) continue;
                ringed.Add(here);
                // A ring with a bar: a station at risk.
                of.Add(new Disc(here, 2, Risk));
                of.Add(Trail.Line(here.X - 1.4, here.Y + 1.4, here.X + 1.4, here.Y - 1.4, Risk));
            }
            shapes.Add(new Group($"channel-{Plain(channel.Channel.Name)}", $"Channel {channel.Channel.Name} in attitude {at.Attitude.Name}", of));
        }
        return new($"channels-{Plain(door.Code)}", "Drain channels", shapes);
    }

    /// <summary>What a map says in words of ponds: place on the sheet and lines.</summary>
    internal static IEnumerable<(Place At, string[] Lines)> PondWords(IEnumerable<ChannelResult> channels, int attitude, Func<Point3, Place> toSheet)
    {
        foreach (ChannelResult channel in channels.Where(c => attitude < c.Attitudes.Count))
        {
            ChannelInAttitude at = channel.Attitudes[attitude];
            foreach (Pond pond in at.Water.Ponds.Where(p => p.DepthMm is null or >= 0.01))
            {
                string[] risks = [.. at.Ingress.Where(i => i.IsRisk).Select(i => i.Station).Distinct()];
                List<string> lines = [pond.DepthMm is double depth ? Invariant($"pond {depth:0.0} mm{(pond.VolumeMl is double ml ? Invariant($", {ml:0.0} mL") : "")}") : "water nothing holds", $"{channel.Channel.Name}, point {pond.LowPoint}"];
                if (risks.Length > 0) lines.Add($"seal loose: {string.Join(", ", risks.Take(3))}{(risks.Length > 3 ? " …" : "")}");
                yield return (toSheet(channel.Channel.Points.First(p => p.Name == pond.LowPoint).Position), [.. lines]);
            }
        }
    }

    // The plan's own places: a measured height or turned axes do not move a channel on the map.
    private static Place[] Places(ChannelResult channel, ChannelFloor floor, int run, Func<Point3, Place> toSheet)
    {
        Point3 a = channel.Channel.Points.First(p => p.Name == floor.Points[run].Name).Position, b = channel.Channel.Points.First(p => p.Name == floor.Points[run + 1].Name).Position;
        return [.. Enumerable.Range(0, StepsARun + 1).Select(k => toSheet(a + k / (double)StepsARun * (b - a)))];
    }

    private static Place Along(Place[] run, double share)
    {
        double at = Math.Clamp(share, 0, 1) * (run.Length - 1);
        int k = Math.Min((int)at, run.Length - 2);
        return run[k] + (at - k) * (run[k + 1] - run[k]);
    }

    private static Trail Arrow(Place from, Place to)
    {
        double length = Math.Max((to - from).Length, 1e-9), ux = (to.X - from.X) / length, uy = (to.Y - from.Y) / length;
        Place tip = new((from.X + to.X) / 2 + 1.1 * ux, (from.Y + to.Y) / 2 + 1.1 * uy);
        return new([tip, new(tip.X - 2.2 * ux + 1.1 * uy, tip.Y - 2.2 * uy - 1.1 * ux), new(tip.X - 2.2 * ux - 1.1 * uy, tip.Y - 2.2 * uy + 1.1 * ux)], null, Palette.Grey, Closed: true);
    }

    private static string Plain(string name) => string.Concat(name.Select(c => char.IsAsciiLetterOrDigit(c) ? c : '-'));
}
