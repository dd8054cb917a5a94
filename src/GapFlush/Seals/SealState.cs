using System.Runtime.CompilerServices;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Seals;

/// <summary>What a seal is today, without where it leaks and what ageing leaves: as much as a study over many builds asks for.</summary>
/// <param name="Seals">The seal at each station, or null.</param>
/// <param name="LandGaps">The land gap of each station, read or predicted, in station order.</param>
/// <param name="Compressions">The compression at each station; null where there is neither a seal nor a limit for it.</param>
/// <param name="Stations">Every station of the door in order, as the ring is traced.</param>
/// <param name="Ring">The seal round the door.</param>
/// <param name="ClosingLoad">Force that the whole seal puts up against closing, N.</param>
internal sealed record SealState(IReadOnlyList<Seal?> Seals, IReadOnlyList<Measurement> LandGaps, IReadOnlyList<Measurement?> Compressions, IReadOnlyList<SealStation> Stations, SealRing Ring, Measurement ClosingLoad)
{
    // By the list of points, so that a copy of a plan with other curves has its own.
    private static readonly ConditionalWeakTable<IReadOnlyList<SealLoadPoint>, IReadOnlyDictionary<string, SealLoadCurve>> Curves = [];

    /// <summary>The load curves of a plan, by seal name.</summary>
    public static IReadOnlyDictionary<string, SealLoadCurve> CurvesOf(FitPlan plan) => Curves.GetValue(plan.SealCurves, static points => SealLoadCurve.FromPlan(points));

    /// <summary>True where the plan limits the loads of a door's seal.</summary>
    public static bool LimitsLoads(FitPlan plan, Door door, string? stage) => plan.Limits.For(Characteristic.ClosingLoad, door.Code, null, null, stage) is not null || plan.Limits.For(Characteristic.HandleForce, door.Code, null, null, stage) is not null;

    /// <summary>Works out the seal of a door; null where the plan gives this door no seal and limits nothing of one.</summary>
    public static SealState? Of(FitPlan plan, Door door, string build, string? stage, IReadOnlyList<Measurement> measurements)
    {
        bool limited = LimitsLoads(plan, door, stage);
        Seal?[] seals = [.. door.Stations.Select(s => plan.SealOf(door.Code, s.Zone))];
        LimitRow?[] limits = [.. door.Stations.Select(s => plan.Limits.For(Characteristic.Compression, door.Code, s.Zone, s.Name, stage))];
        if (!limited && seals.All(s => s is null) && limits.All(l => l is null)) return null;

        IReadOnlyDictionary<string, SealLoadCurve> curves = CurvesOf(plan);
        IReadOnlyList<Measurement> gaps = GapFlush.Seals.LandGaps.Of(plan, door, build, stage, measurements);
        Dictionary<string, Measurement> gapAt = gaps.ToDictionary(g => g.Station!);
        Measurement?[] compressions = [.. door.Stations.Select((s, i) => seals[i] is null && limits[i] is null ? null : SealCompression.At(door, s, build, stage, seals[i], gapAt.GetValueOrDefault(s.Name)))];
        SealStation[] stations = [.. door.Stations.Select((s, i) => new SealStation(s.Name, s.AlongMm, compressions[i]?.Value, limits[i]?.Limits.Lower, limits[i]?.Limits.Upper,
            seals[i] is Seal seal ? curves.GetValueOrDefault(seal.Name) : null, SealCompression.OwnPercent(compressions[i]), SealCompression.SharedPercent(compressions[i]), compressions[i]?.Origin == MeasurementOrigin.Predicted)
        { HasSeal = seals[i] is not null })];
        SealRing ring = SealRing.Trace(stations, door.PerimeterMm);
        return new(seals, gaps, compressions, stations, ring, SealLoads.ClosingLoad(plan, door, build, stage, stations, compressions, ring));
    }
}
