using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Seals;

/// <summary>The closing load and the handle force of a door as measurements, with their uncertainty or the reason why there is none. METHOD.md, eq. 3.</summary>
internal static class SealLoads
{
    /// <summary>The closing load of a traced seal.</summary>
    public static Measurement ClosingLoad(FitPlan plan, Door door, string build, string? stage, IReadOnlyList<SealStation> stations, IReadOnlyList<Measurement?> compressions, SealRing ring)
    {
        bool predicted = stations.Any(s => s.IsPredicted && s.CompressionPercent is not null);
        Measurement start = new()
        {
            Build = build,
            Door = door.Code,
            Characteristic = Characteristic.ClosingLoad,
            Stage = stage,
            Origin = predicted ? MeasurementOrigin.Predicted : MeasurementOrigin.Derived,
        };
        if (!stations.Any(s => s.HasSeal)) return start with { Reason = $"seals.csv gives no seal for door {door.Code}" };
        string[] unknown = [.. stations.Where(s => s.HasSeal && s.CompressionPercent is null).Select(s => s.Station)];
        if (unknown.Length > 0) return start with { Reason = unknown.Length == stations.Count(s => s.HasSeal) ? "no compression is known" : $"no compression at {(unknown.Length > 6 ? Invariant($"{unknown.Length} stations") : string.Join(", ", unknown))}" };
        string[] curveless = [.. door.Stations.Where((_, i) => stations[i].HasSeal && stations[i].Curve is null).Select(s => plan.SealOf(door.Code, s.Zone)!.Name).Distinct()];
        if (curveless.Length > 0) return start with { Reason = $"seal-curves.csv gives no load curve for seal {string.Join(", ", curveless)}" };
        if (ring.ClosingLoadN is not double load) return start with { Reason = "no closing load" };

        List<string> notes = [];
        if (predicted) notes.Add(stations.All(s => s.IsPredicted || !s.HasSeal) ? "predicted, no land gap was read" : "some land gaps predicted, not read");
        if (ring.BeyondCurveLengthMm > 0.5) notes.Add(Invariant($"over {ring.BeyondCurveLengthMm:0} mm the seal is pressed beyond its load curve, which was carried on straight"));
        bool isKnown = stations.All(s => !s.HasSeal) || !compressions.Where((_, i) => stations[i].HasSeal).Any(c => c!.StandardUncertainty is null);
        if (!isKnown) notes.Add("the uncertainty of some land gaps is not known, so that of the load is not");
        Measurement result = start with { Value = load, RawValue = load, Reason = notes.Count > 0 ? string.Join("; ", notes) : null };
        if (!isKnown) return result;
        return Derived.WithBudget(result, new(
        [
            new("land gaps, each by itself", ring.ClosingLoadOwnUncertaintyN!.Value, double.PositiveInfinity),
            new("land gaps, what all may share", ring.ClosingLoadSharedUncertaintyN!.Value, double.PositiveInfinity) { IsShared = true },
        ]));
    }

    /// <summary>The force at the handle from the closing load and the plan's two lever arms.</summary>
    public static Measurement HandleForce(Door door, Measurement load)
    {
        Measurement start = load with { Characteristic = Characteristic.HandleForce, Value = null, RawValue = null, Budget = [], StandardUncertainty = null };
        if (door.SealLeverMm is not double sealLever || door.HandleLeverMm is not double handleLever) return start with { Reason = $"plan.json gives no seal_lever_mm and handle_lever_mm for door {door.Code}" };
        if (load.Value is not double newton) return start with { Reason = load.Reason };
        double share = Seals.HandleForce.AtHandleN(1, sealLever, handleLever);
        Measurement result = start with { Value = Seals.HandleForce.AtHandleN(newton, sealLever, handleLever), RawValue = share * newton, Reason = load.Reason };
        return load.StandardUncertainty is null ? result : Derived.WithBudget(result, new([.. load.Budget.Select(c => c with { StandardUncertainty = share * c.StandardUncertainty })]));
    }
}
