using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>Plants one fault of a kind in the rows of a clean sheet, the way it happens in the shop.</summary>
internal static class FaultPlanter
{
    /// <summary>Plants a fault.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="rows">The sheet; changed in place.</param>
    /// <param name="kind">One of <see cref="FaultKinds"/>.</param>
    /// <param name="doorCode">The door to plant it on; kinds that concern the whole file take no notice of it.</param>
    /// <param name="declared">For a definition mix, whether the rows say which definition was read.</param>
    /// <param name="random">Picks stations.</param>
    /// <exception cref="ArgumentException">No such kind or door, or the door has no other hand.</exception>
    public static PlantedFault Plant(FitPlan plan, List<SheetRow> rows, string kind, string doorCode, bool declared, SeededRandom random)
    {
        Door door = plan.FindDoor(doorCode) ?? throw new ArgumentException($"The demo has no door {doorCode}.", nameof(doorCode));
        int n = door.Stations.Count;
        switch (kind)
        {
            case FaultKinds.WrongSerial:
                {
                    string wrong = WrongSerial(plan, rows[0].Build);
                    Change(rows, r => r.Door == doorCode, r => r with { Build = wrong });
                    return new(kind, doorCode, [], $"sheet of {doorCode} carries serial {wrong}, which is in no build list");
                }
            case FaultKinds.WrongHand:
                {
                    Door twin = plan.Doors.FirstOrDefault(d => d.Hand != door.Hand && d.Stations.Count == n)
                        ?? throw new ArgumentException($"Door {doorCode} has no other hand.", nameof(doorCode));
                    Dictionary<(string, string, Characteristic, int?), double> values = rows.ToDictionary(Key, r => r.Value);
                    Change(rows, r => r.Door == door.Code, r => r with { Value = values[(twin.Code, r.Station, r.Characteristic, r.Repeat)] });
                    Change(rows, r => r.Door == twin.Code, r => r with { Value = values[(door.Code, r.Station, r.Characteristic, r.Repeat)] });
                    return new(kind, doorCode, [], $"sheets of {door.Code} and {twin.Code} exchanged: each holds, row by row, what was read on the other hand");
                }
            case FaultKinds.GaugeZero:
                {
                    const double offset = 0.35;
                    string gauge = rows.First(r => r.Characteristic == Characteristic.Flush).Gauge;
                    Change(rows, r => r.Characteristic == Characteristic.Flush, r => r with { Value = Cents(r.Value + offset) });
                    return new(kind, null, [], Invariant($"gauge {gauge} not zeroed: +{offset} mm on every flush of the three doors"));
                }
            case FaultKinds.TransposedStations:
                {
                    (int a, int b) = FarthestLookalikes(door, rows);
                    (string first, string second) = (door.Stations[a].Name, door.Stations[b].Name);
                    Dictionary<(string, string, Characteristic, int?), double> values = rows.ToDictionary(Key, r => r.Value);
                    Change(rows, r => r.Door == doorCode && (r.Station == first || r.Station == second),
                        r => r with { Value = values.GetValueOrDefault((doorCode, r.Station == first ? second : first, r.Characteristic, r.Repeat), r.Value) });
                    return new(kind, doorCode, [first, second], $"values of stations {first} and {second} written in each other's rows");
                }
            case FaultKinds.ReversedOrder:
                {
                    Dictionary<(string, string, Characteristic, int?), double> values = rows.ToDictionary(Key, r => r.Value);
                    Change(rows, r => r.Door == doorCode,
                        r => r with { Value = values.GetValueOrDefault((doorCode, door.Stations[n - 1 - door.Find(r.Station)!.Index].Name, r.Characteristic, r.Repeat), r.Value) });
                    return new(kind, doorCode, [], $"sheet of {doorCode} filled from the last row to the first");
                }
            case FaultKinds.MissingStations:
                {
                    int start = random.Below(n - 3);
                    string[] missing = [.. Enumerable.Range(start, 4).Select(i => door.Stations[i].Name)];
                    rows.RemoveAll(r => r.Door == doorCode && missing.Contains(r.Station));
                    return new(kind, doorCode, missing, "four stations in a row left out: no gap, flush or land gap");
                }
            case FaultKinds.InchValues:
                Change(rows, r => r.Door == doorCode && r.Characteristic == Characteristic.Gap, r => r with { Value = Math.Round(r.Value / 25.4, 3), Decimals = 3 });
                return new(kind, doorCode, [], $"gaps of {doorCode} read in inches and written as mm");
            case FaultKinds.DecimalSlip:
                {
                    string station = door.Stations[random.Below(n)].Name;
                    Change(rows, r => r.Door == doorCode && r.Station == station && r.Characteristic == Characteristic.Gap && (r.Repeat ?? 1) == 1,
                        r => r with { Value = Math.Round(r.Value * 10, 1), Decimals = 1 });
                    return new(kind, doorCode, [station], $"gap of station {station} written ten times too large");
                }
            case FaultKinds.DefinitionMix:
                {
                    const double bothRadii = 2.0;
                    string zone = door.Zones.Where(z => !z.StartsWith("corner", StringComparison.Ordinal)).ElementAt(random.Below(4));
                    string[] stations = [.. door.Stations.Where(s => s.Zone == zone).Select(s => s.Name)];
                    string code = GapDefinition.Codes.First(c => c.Value == GapKind.SkinEnd).Key;
                    Change(rows, r => r.Door == doorCode && r.Characteristic == Characteristic.Gap && stations.Contains(r.Station),
                        r => r with { Value = Cents(r.Value + bothRadii + random.Normal(0, 0.05)), Definition = declared ? code : r.Definition });
                    return new(kind, doorCode, stations, Invariant($"gaps of the {zone} read to the skin ends, {bothRadii} mm wider, {(declared ? "and marked so" : "not marked so")}"));
                }
            case FaultKinds.PaintState:
                Change(rows, r => r.Door == doorCode && r.Characteristic == Characteristic.Gap, r => r with { Value = Cents(r.Value - 2 * DabchickPlan.EdgeBuildMm) });
                return new(kind, doorCode, [], Invariant($"{doorCode} read painted and written down as bare: every gap {2 * DabchickPlan.EdgeBuildMm} mm smaller"));
            case FaultKinds.DoubleEntry:
                {
                    string zone = door.Zones.Where(z => !z.StartsWith("corner", StringComparison.Ordinal)).ElementAt(random.Below(4));
                    SheetRow[] twice = [.. rows.Where(r => r.Door == doorCode && r.Characteristic == Characteristic.Gap && door.Find(r.Station)!.Zone == zone)];
                    rows.AddRange(twice);
                    return new(kind, doorCode, [.. twice.Select(r => r.Station).Distinct()], $"gap rows of the {zone} stand in the file twice");
                }
            case FaultKinds.StuckValue:
                {
                    const int run = 12;
                    int start = random.Below(n - run);
                    string[] stations = [.. Enumerable.Range(start, run).Select(i => door.Stations[i].Name)];
                    double value = rows.First(r => r.Door == doorCode && r.Station == stations[0] && r.Characteristic == Characteristic.Flush).Value;
                    Change(rows, r => r.Door == doorCode && r.Characteristic == Characteristic.Flush && stations.Contains(r.Station), r => r with { Value = value });
                    return new(kind, doorCode, stations, Invariant($"step gauge stuck: flush {value:0.00} at {run} stations in a row"));
                }
            case FaultKinds.TemperatureMissing:
                Change(rows, r => r.Door == doorCode, r => r with { TemperatureC = null });
                return new(kind, doorCode, [], $"no temperature written for {doorCode}");
            case FaultKinds.GaugeOverdue:
                Change(rows, r => r.Door == doorCode && r.Characteristic == Characteristic.Gap, r => r with { Gauge = "TG-09", TakenAt = After(plan.FindGauge("TG-09")!, r.TakenAt) });
                return new(kind, doorCode, [], $"gaps of {doorCode} read with TG-09, whose calibration had run out");
            case FaultKinds.GaugeCoarse:
                {
                    Gauge coarse = plan.FindGauge("SR-01")!;
                    double u = coarse.UncertaintyMm!.Value / coarse.CoverageFactor;
                    Change(rows, r => r.Door == doorCode && r.Characteristic == Characteristic.Gap,
                        r => r with { Gauge = coarse.Name, Decimals = 1, Value = SheetMaker.ToStep(r.Value + random.Normal(0, u / 2), coarse.ResolutionMm!.Value) });
                    return new(kind, doorCode, [], $"gaps of {doorCode} read with {coarse.Name}, a steel rule");
                }
            case FaultKinds.PlanSuperseded:
                Change(rows, _ => true, r => r with { PlanIssue = "B" });
                return new(kind, null, [], $"sheet printed from issue B of the plan; issue {plan.Issue} is in force");
            default:
                throw new ArgumentException($"There is no fault kind {kind}; known are {string.Join(", ", FaultKinds.All)}.", nameof(kind));
        }
    }

    private static (string, string, Characteristic, int?) Key(SheetRow r) => (r.Door, r.Station, r.Characteristic, r.Repeat);

    private static void Change(List<SheetRow> rows, Func<SheetRow, bool> which, Func<SheetRow, SheetRow> change)
    {
        for (int i = 0; i < rows.Count; i++)
        {
            if (which(rows[i])) rows[i] = change(rows[i]);
        }
    }

    private static double Cents(double value) => Math.Round(value, 2) + 0.0;

    /// <summary>A serial with two digits turned round or one slipped that no build bears.</summary>
    private static string WrongSerial(FitPlan plan, string serial)
    {
        string turned = serial[..^2] + serial[^1] + serial[^2], slipped = serial[..^2] + "8" + serial[^1];
        return plan.Builds.Any(b => b.Build == turned) ? slipped : turned;
    }

    /// <summary>Of the stations that are easily taken for each other, numbers turned round (14 and 41) or a ten apart (4 and 14), the two whose gap
    /// and flush differ most, counted in gauge uncertainties.</summary>
    private static (int A, int B) FarthestLookalikes(Door door, List<SheetRow> rows)
    {
        ILookup<string, SheetRow> at = rows.Where(r => r.Door == door.Code && (r.Repeat ?? 1) == 1).ToLookup(r => r.Station);
        (int A, int B) best = (0, 0);
        double most = -1;
        for (int a = 1; a <= door.Stations.Count; a++)
        {
            foreach (int b in (int[])[a % 10 * 10 + a / 10, a + 10])
            {
                if (b <= a || b > door.Stations.Count) continue;
                double apart = Apart(a, b, Characteristic.Gap) / 0.12 + Apart(a, b, Characteristic.Flush) / 0.06;
                if (apart > most) (most, best) = (apart, (a - 1, b - 1));
            }
        }
        return best;

        double Apart(int a, int b, Characteristic c) => Math.Abs(at[Invariant($"{a}")].First(r => r.Characteristic == c).Value - at[Invariant($"{b}")].First(r => r.Characteristic == c).Value);
    }

    /// <summary>The time itself where the calibration had run out by then, else the same hour a week after it ran out.</summary>
    private static DateTimeOffset After(Gauge gauge, DateTimeOffset taken)
    {
        DateOnly due = gauge.CalibrationDue!.Value;
        return DateOnly.FromDateTime(taken.Date) > due ? taken : new(due.AddDays(7), TimeOnly.FromTimeSpan(taken.TimeOfDay), TimeSpan.Zero);
    }
}
