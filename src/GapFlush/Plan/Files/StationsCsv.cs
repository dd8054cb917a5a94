using GapFlush.Geometry;

namespace GapFlush.Plan.Files;

/// <summary>Reads <c>stations.csv</c> and closes the outline of each door.</summary>
internal sealed class StationsCsv
{
    private const int LeastStations = 3;

    /// <summary>The rows with a door, a zone and a name, in file order; null where the file cannot be used at all.</summary>
    public IReadOnlyList<StationRow>? Rows { get; private set; }

    /// <summary>The finished stations of each door whose outline is sound.</summary>
    public Dictionary<string, IReadOnlyList<Station>> ByDoor { get; } = [];

    /// <summary>Reads the file.</summary>
    public static StationsCsv Read(PlanFolder folder, PlanJson plan)
    {
        StationsCsv stations = new();
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "stations.csv", ["door", "station", "zone"], ["x", "y", "z", "nx", "ny", "nz", "tx", "ty", "tz"]);
        if (rows is null) return stations;
        PlanNames names = new(plan, null);
        List<StationRow> read = [.. rows.Select(r => ReadRow(r, names))];
        foreach (IGrouping<string, StationRow> door in read.Where(r => r.Door.Length > 0).GroupBy(r => r.Door))
            stations.Close(door.Key, [.. door], folder);
        foreach ((Door door, int line) in plan.Doors.Where(d => plan.DoorCodes is not null && !read.Any(r => r.Door == d.Door.Code)))
            folder.Problems.Add(new(folder.Find("stations.csv")!.Name, 0, "door", "", Invariant($"stations of door {door.Code} (plan.json line {line})"), "Add its stations, in order round the outline, or take the door out of plan.json."));
        if (string.Equals(plan.Axes.Replace(" ", "", StringComparison.Ordinal), FitPlan.UsualAxes.Replace(" ", "", StringComparison.Ordinal), StringComparison.OrdinalIgnoreCase)) stations.NoticeOtherHand(folder, plan);
        stations.Rows = [.. read.Where(r => r.Door.Length > 0 && r.Name.Length > 0 && r.Zone.Length > 0)];
        return stations;
    }

    private static StationRow ReadRow(PlanRow row, PlanNames names)
    {
        string door = names.RequiredDoor(row), station = row.Required("station"), zone = row.Required("zone");
        Point3 place = row.Place();
        Vector3 n = row.UnitVector("n"), t = row.UnitVector("t");
        if (row.IsSound)
        {
            double along = t.Dot(n);
            if (Math.Abs(along) > UnitVectors.SquareTolerance)
            {
                row.Refuse("tx,ty,tz", Invariant($"t square to n (scalar product 0 within {UnitVectors.SquareTolerance})"),
                    "The tangent of the seam lies in the skin: take the part along n out of t, or correct whichever of the two is wrong.", Invariant($"a scalar product of {along:0.####}"));
            }
            else
            {
                t = (t - along * n).ToUnit();
            }
        }
        return new(door, station, zone, place, n, t, row);
    }

    private void Close(string door, IReadOnlyList<StationRow> rows, PlanFolder folder)
    {
        bool sound = rows.All(r => r.Row.IsSound);
        Dictionary<string, StationRow> seen = [];
        foreach (StationRow row in rows.Where(r => r.Name.Length > 0))
        {
            if (seen.TryAdd(row.Name, row)) continue;
            row.Row.Refuse("station", $"each station of door {door} once", Invariant($"Line {seen[row.Name].Row.Line} has this name; rename or delete one."));
            sound = false;
        }
        if (rows.Count < LeastStations)
        {
            rows[^1].Row.Refuse("door", Invariant($"at least {LeastStations} stations round door {door}"), "Add the stations that are missing; an outline needs three to enclose anything.", Invariant($"{rows.Count}"));
            sound = false;
        }
        if (sound && SeamOutline.Close(rows) is IReadOnlyList<Station> closed)
        {
            ByDoor[door] = closed;
            NoticeSplitZones(door, closed, rows, folder);
        }
    }

    // Only where y is known to point to starboard; the hand itself is data and stays as the plan gives it.
    private void NoticeOtherHand(PlanFolder folder, PlanJson plan)
    {
        const double plainlySideways = 0.3;
        foreach ((Door door, int line) in plan.Doors.Where(d => ByDoor.ContainsKey(d.Door.Code)))
        {
            double outward = ByDoor[door.Code].Average(s => s.Normal.Y);
            if ((door.Hand == Hand.Left && outward > plainlySideways) || (door.Hand == Hand.Right && outward < -plainlySideways))
                folder.Notices.Add(Invariant($"{folder.Find("plan.json")!.Name}:{line}: door {door.Code} has hand {(door.Hand == Hand.Left ? "left" : "right")}, but its skin faces {(outward > 0 ? "starboard" : "port")} in the plan's axes; correct the hand, or the stations."));
        }
    }

    private static void NoticeSplitZones(string door, IReadOnlyList<Station> stations, IReadOnlyList<StationRow> rows, PlanFolder folder)
    {
        foreach (string zone in stations.Select(s => s.Zone).Distinct())
        {
            int[] starts = [.. Enumerable.Range(0, stations.Count).Where(i => stations[i].Zone == zone && stations[(i + stations.Count - 1) % stations.Count].Zone != zone)];
            if (starts.Length > 1)
                folder.Notices.Add(Invariant($"{folder.Find("stations.csv")!.Name}:{rows[starts[1]].Row.Line}: zone {zone} of door {door} is met in {starts.Length} separate runs; gap range and taper are taken over all of them together."));
        }
    }
}
