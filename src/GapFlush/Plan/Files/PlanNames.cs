using GapFlush.Inputs;

namespace GapFlush.Plan.Files;

/// <summary>Holds what a row refers to against the doors, zones, stations and stages there are. Where those could not be read, nothing is refused.</summary>
internal sealed class PlanNames(PlanJson plan, IReadOnlyList<StationRow>? stations)
{
    /// <summary>A door that must be named; blank where it is not.</summary>
    public string RequiredDoor(PlanRow row)
    {
        string door = row.Required("door");
        if (door.Length > 0) CheckDoor(row, door);
        return door;
    }

    /// <summary>A door, or null for any.</summary>
    public string? Door(PlanRow row, string column = "door")
    {
        string? door = row.Text(column);
        if (door is not null) CheckDoor(row, door);
        return door;
    }

    /// <summary>A zone, or null for any; looked for in the door given.</summary>
    public string? Zone(PlanRow row, string? door)
    {
        if (row.Text("zone") is not string zone) return null;
        if (Within(door) is StationRow[] there && !there.Any(s => s.Zone == zone))
            row.Refuse("zone", $"a zone of {Of(door)}", NearestName.Remedy(zone, [.. there.Select(s => s.Zone).Distinct()]));
        return zone;
    }

    /// <summary>A station, or null for any; looked for in the door and zone given.</summary>
    public string? Station(PlanRow row, string? door, string? zone)
    {
        if (row.Text("station") is not string station) return null;
        if (Within(door) is not StationRow[] there) return station;
        string[] zones = [.. there.Where(s => s.Name == station).Select(s => s.Zone)];
        if (zones.Length == 0)
            row.Refuse("station", $"a station of {Of(door)}", NearestName.Remedy(station, [.. there.Select(s => s.Name).Distinct()]));
        else if (zone is not null && there.Any(s => s.Zone == zone) && !zones.Contains(zone))
            row.Refuse("station", $"a station of zone {zone}", $"Station {station} lies in zone {zones[0]}; correct the one or the other, or leave the zone blank.");
        return station;
    }

    /// <summary>A stage, or null for any.</summary>
    public string? Stage(PlanRow row)
    {
        if (row.Text("stage") is not string stage) return null;
        if (plan.StageNames is not null && !plan.StageNames.Contains(stage)) row.Refuse("stage", "a stage of the plan", NearestName.Remedy(stage, plan.StageNames, plan.StageNames.Count == 0 ? "Add the stage to plan.json, or leave the field blank." : ""));
        return stage;
    }

    private void CheckDoor(PlanRow row, string door)
    {
        if (plan.DoorCodes is not null && !plan.DoorCodes.Contains(door)) row.Refuse("door", "a door of plan.json", NearestName.Remedy(door, plan.DoorCodes));
    }

    // The stations of a door, or of all; null where they are not known, or the door is not.
    private StationRow[]? Within(string? door)
    {
        StationRow[]? there = stations?.Where(s => door is null || s.Door == door).ToArray();
        return there is { Length: > 0 } ? there : null;
    }

    private static string Of(string? door) => door is null ? "some door" : $"door {door}";
}
