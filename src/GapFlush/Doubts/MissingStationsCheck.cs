using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>missing-stations: which stations that the plan asks for are not in a sheet that was begun?</summary>
/// <remarks>A door or a characteristic of which nothing was read is no slip of the pen: the verdicts name it as missing.</remarks>
internal static class MissingStationsCheck
{
    public static IEnumerable<Doubt> Find(CaseFile file)
    {
        foreach (DoorSheet sheet in file.Sheets)
        {
            List<(Characteristic What, string[] Stations)> bare = [];
            foreach (Characteristic what in Characteristic.All.Where(c => c.IsRead && sheet.All(c).Count > 0))
            {
                HashSet<string> read = [.. sheet.All(what).Select(p => p.Station.Name)];
                string[] missing = [.. sheet.Door.Stations.Where(s => !read.Contains(s.Name) && IsAskedFor(sheet, s, what)).Select(s => s.Name)];
                if (missing.Length > 0) bare.Add((what, missing));
            }
            foreach (var same in bare.GroupBy(b => string.Join('\n', b.Stations)))
            {
                string[] stations = same.First().Stations;
                (double arc, string from, string to) = LongestArc(sheet.Door, stations);
                yield return new(DoubtKinds.MissingStations, sheet.Door.Code, stations,
                    Invariant($"No {Words.List([.. same.Select(b => b.What.Words)])} of {sheet.Door.Code} {Words.Stations(stations, sheet.Order)}{Words.AtStage(sheet.Stage)}; the longest stretch without a reading is {arc:0} mm of seam, from station {from} to {to}."),
                    "Read them; until then the door is not judged, and nothing is filled in from the neighbours.", sheet.All(same.First().What)[0].Reading.Source);
            }
        }
    }

    /// <summary>True where the characteristic itself or one that is worked out from it is limited.</summary>
    private static bool IsAskedFor(DoorSheet sheet, Station s, Characteristic what)
    {
        Characteristic[] from = what == Characteristic.Gap ? [Characteristic.Gap] : what == Characteristic.Flush ? [Characteristic.Flush, Characteristic.StepForward, Characteristic.StepAft] : [what, Characteristic.Compression];
        return from.Any(c => sheet.Plan.Limits.For(c, sheet.Door.Code, s.Zone, s.Name, sheet.Stage) is not null);
    }

    /// <summary>The longest way along the seam between two read stations with only missing ones between them.</summary>
    private static (double Mm, string From, string To) LongestArc(Door door, string[] missing)
    {
        int n = door.Stations.Count;
        int[] read = [.. Enumerable.Range(0, n).Where(i => !missing.Contains(door.Stations[i].Name))];
        (double, string, string) longest = (0, "", "");
        for (int k = 0; k < read.Length; k++)
        {
            (Station a, Station b) = (door.Stations[read[k]], door.Stations[read[(k + 1) % read.Length]]);
            if ((read[(k + 1) % read.Length] - read[k] + n) % n == 1) continue;
            double arc = b.AlongMm - a.AlongMm + (b.AlongMm <= a.AlongMm ? door.PerimeterMm : 0);
            if (arc > longest.Item1) longest = (arc, a.Name, b.Name);
        }
        return longest;
    }
}
