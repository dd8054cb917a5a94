namespace GapFlush.Plan.Files;

/// <summary>Reads <c>channels.csv</c>: the drain channels, a row per point along the bottom.</summary>
/// <remarks>A cross-section holds from its point on, so a blank shape, width, depth, side slope, roughness or least slope is as at the point before in the same
/// channel. Outlet and catchment belong to their own point.</remarks>
internal static class ChannelsCsv
{
    // Nearer than this, two points give a run no direction.
    private const double SamePlaceMm = 0.01;

    private static readonly Dictionary<string, ChannelShape> _shapes = new()
    {
        ["rectangular"] = ChannelShape.Rectangular,
        ["trapezoidal"] = ChannelShape.Trapezoidal,
        ["triangular"] = ChannelShape.Triangular,
        ["half-round"] = ChannelShape.HalfRound,
    };

    private static readonly Dictionary<string, ChannelOutlet> _outlets = new() { ["open-end"] = ChannelOutlet.OpenEnd, ["hole"] = ChannelOutlet.Hole };

    /// <summary>The channels that could be read, in the order in which they are first met.</summary>
    public static IReadOnlyList<Channel> Read(PlanFolder folder, PlanNames names)
    {
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "channels.csv", ["channel", "door", "point", "shape", "outlet"],
            ["x", "y", "z", "width", "depth", "side_slope", "roughness", "outlet_diameter", "catchment_m2", "min_slope_percent"],
            ["door", "outlet", "width", "depth", "side_slope", "roughness", "outlet_diameter", "catchment_m2", "min_slope_percent"]);
        List<Channel> channels = [];
        foreach (IGrouping<string, PlanRow> group in (rows ?? []).GroupBy(r => r.Required("channel")).Where(g => g.Key.Length > 0))
            channels.Add(ReadChannel(group.Key, [.. group], folder, names));
        return channels;
    }

    private static Channel ReadChannel(string name, IReadOnlyList<PlanRow> rows, PlanFolder folder, PlanNames names)
    {
        string? door = null;
        List<ChannelPoint> points = [];
        for (int i = 0; i < rows.Count; i++)
        {
            string? own = names.Door(rows[i]);
            if (rows[i].IsSound && own is not null && door is not null && own != door) rows[i].Refuse("door", $"door {door}, as on the rows before of channel {name}", "A channel belongs to one door; correct the door, or give the channel another name.");
            door ??= own;
            ChannelPoint point = ReadPoint(rows[i], points.LastOrDefault());
            ChannelPoint? twin = points.FirstOrDefault(p => p.Name == point.Name);
            if (twin is not null && point.Name.Length > 0) rows[i].Refuse("point", $"each point of channel {name} once", Invariant($"Line {twin.Line} has this name; rename or delete one."));
            if (rows[i].IsSound && points.Count > 0 && point.Position.DistanceTo(points[^1].Position) < SamePlaceMm)
                rows[i].Refuse("x,y,z", $"another place than point {points[^1].Name}", Invariant($"Line {points[^1].Line} stands at the same place; correct or take out one of the two."), Invariant($"{point.Position.X}, {point.Position.Y}, {point.Position.Z}"));
            if (point.Outlet == ChannelOutlet.OpenEnd && i > 0 && i < rows.Count - 1)
                rows[i].Refuse("outlet", "an open end at the first or last point only", "Write hole where water leaves on the way, or end the channel here.");
            if (rows[i].IsSound && point.OutletDiameterMm is not null && point.Outlet != ChannelOutlet.Hole)
                folder.Notices.Add(Invariant($"{folder.Find("channels.csv")!.Name}:{rows[i].Line}: outlet_diameter is given, but the outlet is no hole; the diameter is not used."));
            points.Add(point);
        }
        if (points.Count == 1) rows[0].Refuse("channel", $"at least two points of channel {name}", "Add the points along its bottom, a row each.", "1");
        return new(name, door, points);
    }

    private static ChannelPoint ReadPoint(PlanRow row, ChannelPoint? before)
    {
        ChannelPoint point = new(row.Required("point"), row.Place(),
            row.Word("shape", _shapes) ?? before?.Shape ?? default,
            row.Number("width", NumberRange.Positive) ?? before?.WidthMm,
            row.Number("depth", NumberRange.Positive) ?? before?.DepthMm,
            row.Number("side_slope", NumberRange.NotNegative) ?? before?.SideSlope,
            row.Number("roughness", NumberRange.Positive) ?? before?.Roughness,
            row.Word("outlet", _outlets) ?? ChannelOutlet.None,
            row.Number("outlet_diameter", NumberRange.Positive),
            row.Number("catchment_m2", NumberRange.NotNegative),
            row.Number("min_slope_percent", NumberRange.NotNegative) ?? before?.MinSlopePercent, row.Line);
        if (before is null && row.Text("shape") is null) row.Refuse("shape", PlanRow.OneOf(_shapes.Keys), "Say what the cross-section is; later points may leave it blank.");
        if (row.IsSound && row.Text("shape") is not null) RefuseMissingDimensions(row, point);
        if (point.Outlet == ChannelOutlet.Hole && row.Text("outlet_diameter") is null) row.Refuse("outlet_diameter", "the diameter of the hole in mm", "Fill it in.");
        return point;
    }

    private static void RefuseMissingDimensions(PlanRow row, ChannelPoint point)
    {
        string shape = _shapes.First(s => s.Value == point.Shape).Key;
        bool sloped = point.Shape is ChannelShape.Trapezoidal or ChannelShape.Triangular;
        Need("width", point.Shape != ChannelShape.Triangular && point.WidthMm is null, point.Shape == ChannelShape.HalfRound ? "the diameter of the half circle in mm" : "the bottom width in mm");
        Need("depth", point.Shape != ChannelShape.HalfRound && point.DepthMm is null, "the depth to the lip in mm");
        Need("side_slope", sloped && point.SideSlope is null, "the side slope, horizontal over vertical");
        if (point.Shape == ChannelShape.Triangular && point.SideSlope == 0) row.Refuse("side_slope", "a number greater than 0", "Two upright sides that meet enclose nothing; give horizontal over vertical.");

        void Need(string column, bool missing, string what)
        {
            if (missing) row.Refuse(column, what, $"A {shape} channel needs it; fill it in.");
        }
    }
}
