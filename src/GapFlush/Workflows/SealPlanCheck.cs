using GapFlush.Doubts;
using GapFlush.Plan;
using GapFlush.Seals;

namespace GapFlush.Workflows;

/// <summary>What a plan lacks for what it asks of its seals: limits that could never be judged, and seals that could never press.</summary>
public static class SealPlanCheck
{
    /// <summary>The kind of every doubt found here.</summary>
    public const string Kind = "seal-plan";

    /// <summary>Looks through a plan.</summary>
    public static IReadOnlyList<Doubt> Of(FitPlan plan)
    {
        List<Doubt> doubts = [];
        IReadOnlyDictionary<string, SealLoadCurve> curves = SealLoadCurve.FromPlan(plan.SealCurves);
        foreach (Door door in plan.Doors)
        {
            string[] bare = [.. door.Zones.Where(z => plan.SealOf(door.Code, z) is null && door.Stations.Any(s => s.Zone == z && Limits(s, Characteristic.Compression).Any()))];
            if (bare.Length > 0) Add(door, $"limits.csv limits the compression of {door.Code} in {string.Join(", ", bare)}, and seals.csv gives no seal there", "Give the seal in seals.csv, or take the limit out; until then these stations are missing.");
            Characteristic[] loads = [.. new[] { Characteristic.ClosingLoad, Characteristic.HandleForce }.Where(c => plan.Limits.Rows.Any(r => r.Characteristic == c && (r.Door is null || r.Door == door.Code)))];
            string what = string.Join(" and ", loads.Select(c => c.Words));
            string[] seals = [.. door.Zones.Select(z => plan.SealOf(door.Code, z)?.Name).OfType<string>().Distinct()];
            if (loads.Length > 0 && seals.Length == 0) Add(door, $"limits.csv limits the {what} of {door.Code}, and seals.csv gives it no seal", "Give the seal in seals.csv, or take the limit out.");
            string[] curveless = [.. seals.Where(s => !curves.ContainsKey(s))];
            if (loads.Length > 0 && curveless.Length > 0) Add(door, $"limits.csv limits the {what} of {door.Code}, and seal-curves.csv gives no load curve for seal {string.Join(", ", curveless)}", "Add the points of its data sheet to seal-curves.csv.");
            if (loads.Contains(Characteristic.HandleForce) && door.HandleLeverMm is null) Add(door, $"limits.csv limits the handle force of {door.Code}, and plan.json gives no seal_lever_mm and handle_lever_mm for it", "Add both lever arms from the hinge line, or take the limit out.");
            foreach (IGrouping<(Seal, double), Station> group in door.Stations.Where(s => plan.SealOf(door.Code, s.Zone) is not null)
                .SelectMany(s => Limits(s, Characteristic.LandGap).Select(r => (Station: s, Seal: plan.SealOf(door.Code, s.Zone)!, Nominal: r.Nominal)))
                .Where(x => x.Nominal >= x.Seal.FreeHeightMm).GroupBy(x => (x.Seal, x.Nominal!.Value), x => x.Station))
            {
                (Seal seal, double nominal) = group.Key;
                doubts.Add(new(Kind, door.Code, [.. group.Select(s => s.Name).Distinct()], Invariant($"The nominal land gap of {nominal:0.0##} mm is no less than the free height of seal {seal.Name}, {seal.FreeHeightMm:0.0##} mm: it would not touch"), "Correct the nominal in limits.csv or free_height in seals.csv.", "limits.csv", 0));
            }

            // Every row that may hold at a station, whatever the stage.
            IEnumerable<LimitRow> Limits(Station s, Characteristic c) => plan.Limits.Rows.Where(r => r.Characteristic == c && (r.Door is null || r.Door == door.Code) && (r.Zone is null || r.Zone == s.Zone) && (r.Station is null || r.Station == s.Name));
        }
        return doubts;

        void Add(Door door, string seen, string toDo) => doubts.Add(new(Kind, door.Code, [], seen + ".", toDo, "limits.csv", 0));
    }
}
