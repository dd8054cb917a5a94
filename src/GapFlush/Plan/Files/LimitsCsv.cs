using GapFlush.Inputs;

namespace GapFlush.Plan.Files;

/// <summary>Reads <c>limits.csv</c>, and finds rows that contradict one another and stations without limits.</summary>
internal static class LimitsCsv
{
    /// <summary>The rows that could be read.</summary>
    public static IReadOnlyList<LimitRow> Read(PlanFolder folder, PlanJson plan, StationsCsv stations)
    {
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "limits.csv", ["door", "zone", "station", "characteristic", "stage"], ["nominal", "lower", "upper"], ["stage", "nominal"]);
        if (rows is null) return [];
        string file = folder.Find("limits.csv")!.Name;
        PlanNames names = new(plan, stations.Rows);
        List<LimitRow> limits = [];
        bool allSound = true;
        foreach (PlanRow row in rows)
        {
            LimitRow? limit = ReadRow(row, names);
            if (limit is null) allSound = false;
            else limits.Add(limit);
            if (limit is { Nominal: double nominal } && limit.Limits.Excess(nominal) > 0)
                folder.Notices.Add(Invariant($"{file}:{row.Line}: nominal {nominal} of {limit.Characteristic} lies outside its own limits ({Band(limit.Limits)})."));
        }
        if (stations.Rows is not null && plan.StageNames is not null)
        {
            RefuseEqualRows(limits, folder, file, plan, stations.Rows);
            if (allSound) NoticeUnlimited(limits, folder, file, plan, stations.Rows);
        }
        return limits;
    }

    private static LimitRow? ReadRow(PlanRow row, PlanNames names)
    {
        string? door = names.Door(row), zone = names.Zone(row, door), station = names.Station(row, door, zone), stage = names.Stage(row);
        string code = row.Required("characteristic");
        Characteristic? characteristic = Characteristic.Find(code);
        if (characteristic is null && code.Length > 0) row.Refuse("characteristic", "a characteristic", NearestName.Remedy(code, [.. Characteristic.All.Select(c => c.Code)]));
        if (characteristic is not null) RefuseFinerThanScope(row, characteristic, zone, station);
        double? nominal = row.Number("nominal", NumberRange.Any), lower = row.Number("lower", NumberRange.Any), upper = row.Number("upper", NumberRange.Any);
        if (row.Text("lower") is null && row.Text("upper") is null)
            row.Refuse("lower", "a lower limit, an upper limit or both", "Fill in at least one; a row without either limits nothing.");
        else if (lower >= upper)
            row.Refuse("lower", Invariant($"a lower limit below the upper limit {upper}"), "Correct the one or the other, or leave one blank for a one-sided limit.");
        return row.IsSound ? new(door, zone, station, characteristic!, stage, nominal, new(lower, upper), row.Line) : null;
    }

    // A value of a whole door knows no station, so such a row would never hold; better said than left without effect.
    private static void RefuseFinerThanScope(PlanRow row, Characteristic characteristic, string? zone, string? station)
    {
        string of = characteristic.Scope switch { CharacteristicScope.Zone => "a whole zone", CharacteristicScope.Door => "a whole door", CharacteristicScope.Channel => "a drain channel", _ => "" };
        if (of.Length == 0) return;
        if (station is not null) row.Refuse("station", "a blank field", $"{characteristic} is a value of {of}; leave the station blank.");
        if (zone is not null && characteristic.Scope != CharacteristicScope.Zone) row.Refuse("zone", "a blank field", $"{characteristic} is a value of {of}; leave the zone blank.");
    }

    private static void RefuseEqualRows(List<LimitRow> limits, PlanFolder folder, string file, PlanJson plan, IReadOnlyList<StationRow> stations)
    {
        HashSet<(int, int)> told = [];
        foreach (IGrouping<Characteristic, LimitRow> group in limits.GroupBy(l => l.Characteristic))
        {
            foreach ((string? door, string? zone, string? station) in PlacesOf(group.Key, plan, stations))
            {
                foreach (string? stage in (string?[])[null, .. plan.StageNames!])
                {
                    LimitRow[] covering = [.. group.Where(l => l.Covers(group.Key, door, zone, station, stage))];
                    if (covering.Length < 2) continue;
                    int closest = covering.Max(l => l.Specificity);
                    LimitRow[] best = [.. covering.Where(l => l.Specificity == closest)];
                    foreach (LimitRow second in best.Skip(1))
                    {
                        if (!told.Add((best[0].Line, second.Line))) continue;
                        string place = station is not null ? $"station {station} of door {door}" : zone is not null ? $"zone {zone} of door {door}" : door is not null ? $"door {door}" : "every door";
                        folder.Problems.Add(new(file, second.Line, "characteristic", group.Key.Code, $"one row of each aim for {group.Key} at {place}{(stage is null ? "" : $", stage {stage}")}",
                            Invariant($"Line {best[0].Line} is aimed just as closely, so neither can win; take one out, or aim one more closely (by station, zone, door or stage).")));
                    }
                }
            }
        }
    }

    private static IEnumerable<(string? Door, string? Zone, string? Station)> PlacesOf(Characteristic characteristic, PlanJson plan, IReadOnlyList<StationRow> stations) => characteristic.Scope switch
    {
        CharacteristicScope.Station => stations.Select(s => ((string?)s.Door, (string?)s.Zone, (string?)s.Name)).Distinct(),
        CharacteristicScope.Zone => stations.Select(s => ((string?)s.Door, (string?)s.Zone, (string?)null)).Distinct(),
        CharacteristicScope.Door => plan.Doors.Select(d => ((string?)d.Door.Code, (string?)null, (string?)null)),
        _ => plan.Doors.Select(d => ((string?)d.Door.Code, (string?)null, (string?)null)).Append((null, null, null)),   // a channel may belong to no door
    };

    private static void NoticeUnlimited(List<LimitRow> limits, PlanFolder folder, string file, PlanJson plan, IReadOnlyList<StationRow> stations)
    {
        foreach (Characteristic characteristic in new[] { Characteristic.Gap, Characteristic.Flush })
        {
            foreach (IGrouping<string, StationRow> door in stations.GroupBy(s => s.Door))
            {
                string[] bare = [.. door.Where(s => !limits.Any(l => l.Characteristic == characteristic && l.Covers(characteristic, s.Door, s.Zone, s.Name, l.Stage))).Select(s => s.Name)];
                if (bare.Length == 0) continue;
                string which = bare.Length == door.Count() ? "any station" : Invariant($"{bare.Length} of {door.Count()} stations ({string.Join(", ", bare.Take(6))}{(bare.Length > 6 ? ", ..." : "")})");
                folder.Notices.Add($"{file}: no limit for {characteristic} holds at {which} of door {door.Key}; what is read there is shown and not judged.");
            }
        }
    }

    private static string Band(Limits limits) => limits switch
    {
        { Lower: double lower, Upper: double upper } => Invariant($"{lower} to {upper}"),
        { Lower: double lower } => Invariant($"{lower} or more"),
        _ => Invariant($"{limits.Upper} or less"),
    };
}
