using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>wrong-hand and reversed-order: does the sheet fit another door, or its own door walked another way, much better?</summary>
/// <remarks>METHOD.md, eq. 6. Each supposition puts every value at another station; a displacement is fitted anew and what it leaves is compared. Where nominal values are alike
/// all round and the door hangs true, no order can be told from another, and nothing is said.</remarks>
internal static class OrderCheck
{
    /// <summary>A supposition must leave at most this share of what the sheet as it stands leaves.</summary>
    internal const double MuchBetter = 0.6;

    /// <summary>What the sheet as it stands must leave before one looks for another order, mm: below it the door is within what shape and gauges do.</summary>
    internal const double WorthAskingMm = 0.15;

    public static IEnumerable<Doubt> Find(CaseFile file)
    {
        List<(DoorSheet Sheet, double Own, Supposition Best, double Left, Supposition? AsGood)> found = [];
        foreach (DoorSheet sheet in file.Sheets)
        {
            if (sheet.Fit(constants: false) is not SeamFit own || own.CappedRms < WorthAskingMm) continue;
            (Supposition What, double Left)[] ranked = [.. Suppositions(file.Plan, sheet).Select(s => (s, SeamFit.Of(s.Door, s.Points, constants: false)?.CappedRms ?? double.PositiveInfinity)).OrderBy(s => s.Item2)];
            if (ranked.Length == 0 || ranked[0].Left > MuchBetter * own.CappedRms) continue;
            found.Add((sheet, own.CappedRms, ranked[0].What, ranked[0].Left, ranked.Length > 1 && ranked[1].Left < 1.1 * ranked[0].Left ? ranked[1].What : null));
        }
        foreach ((DoorSheet sheet, double own, Supposition best, double left, Supposition? asGood) in found)
        {
            sheet.IsDisowned = true;
            Reading first = sheet.Everything.First().Reading;
            string figures = Invariant($"as it stands it leaves {own:0.00} mm unexplained after the best displacement of the door, {best.Words} {left:0.00} mm");
            string also = asGood is null ? "" : $" ({asGood.Words} fits as well)";
            yield return best.OtherDoor
                ? new(DoubtKinds.WrongHand, sheet.Door.Code, [], $"The sheet of {sheet.Door.Code} fits door {best.Door.Code} much better: {figures}{also}.",
                    $"Ask which door was read; if the sheets of {sheet.Door.Code} and {best.Door.Code} were exchanged, correct the door in each.", first.Source, first.Line)
                : new(DoubtKinds.ReversedOrder, sheet.Door.Code, [], $"The sheet of {sheet.Door.Code} fits much better in another order: {figures}{also}.",
                    "Ask which way round the stations were walked and where the walk began; enter the values at the stations where they were read.", first.Source, first.Line);
        }
    }

    /// <summary>Where the values of a sheet may truly belong.</summary>
    private sealed record Supposition(string Words, Door Door, bool OtherDoor, IReadOnlyList<SheetPoint> Points);

    private static IEnumerable<Supposition> Suppositions(FitPlan plan, DoorSheet sheet)
    {
        Door door = sheet.Door;
        int n = door.Stations.Count;
        foreach (Door other in plan.Doors.Where(d => d != door && d.Stations.Count == n && door.Stations.All(s => d.Find(s.Name) is not null)))
            yield return new($"read as {other.Code}", other, true, Moved(plan, sheet, other, s => other.Find(s.Name)!));
        yield return new("read from the last station to the first", door, false, Moved(plan, sheet, door, s => door.Stations[n - 1 - s.Index]));
        yield return new("read backwards from the same first station", door, false, Moved(plan, sheet, door, s => door.Stations[(n - s.Index) % n]));
    }

    private static List<SheetPoint> Moved(FitPlan plan, DoorSheet sheet, Door to, Func<Station, Station> place)
    {
        List<SheetPoint> moved = [];
        foreach (SheetPoint p in sheet.Seam)
        {
            Station station = place(p.Station);
            LimitRow? row = plan.Limits.For(p.Characteristic, to.Code, station.Zone, station.Name, sheet.Stage);
            if (Hanging.DisplacementFits.Target(row) is double target) moved.Add(p with { Station = station, Target = target });
        }
        return moved;
    }
}
