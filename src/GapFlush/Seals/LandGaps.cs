using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Seals;

/// <summary>The land gap at each station of a door: as it was read, or where nobody read it, predicted.</summary>
/// <remarks>
/// <para>Method: METHOD.md, eq. 6 to 8. A lapped seal opens one for one with the flush, a seal between the edges with the gap. Where that was not read either, the rigid
/// displacement of the door says how far the door moved there.</para>
/// <para>No value: no seal in the plan, no nominal land gap or compression to start from, or neither reading nor a displacement that says anything of this place. The reason says which.</para>
/// <para>A prediction cannot know of a land or carrier that sits wrong at one place: its uncertainty is a statement about lands in general.</para>
/// <para>Source: TRADE section 8 (installed gap); common practice, no source.</para>
/// </remarks>
public sealed class LandGaps
{
    /// <summary>How far carrier and land may sit from where the skins say they do, mm, where neither the plan nor readings on the same door tell: limits of a rectangular
    /// distribution. Common practice for a bonded land behind a moulded flange, no source.</summary>
    public const double LandHalfWidthMm = 0.5;

    /// <summary>From so many land gaps read on a door on, their own departure from what would have been predicted is taken instead.</summary>
    public const int LeastReadForScatter = 6;

    private readonly FitPlan _plan;
    private readonly Door _door;
    private readonly string? _stage;
    private readonly Dictionary<(string, Characteristic), Measurement> _given;
    private readonly Lazy<DisplacementFits> _fits;
    private readonly Lazy<UncertaintyComponent?> _scatter;

    private LandGaps(FitPlan plan, Door door, string? stage, Dictionary<(string, Characteristic), Measurement> given)
    {
        (_plan, _door, _stage, _given) = (plan, door, stage, given);
        _fits = new(() => DisplacementFits.Of(plan, door, stage, given.Values));
        _scatter = new(ScatterOfRead);
    }

    /// <summary>The land gap of every station that has a seal, and of every other where one was read.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="door">The door.</param>
    /// <param name="build">Serial of the aircraft.</param>
    /// <param name="stage">The stage judged at, or null.</param>
    /// <param name="measurements">Measurements at plan conditions; those of other doors, builds or stages are passed over.</param>
    /// <returns>In the order of the stations; those predicted have <see cref="MeasurementOrigin.Predicted"/> and say so in their reason.</returns>
    public static IReadOnlyList<Measurement> Of(FitPlan plan, Door door, string build, string? stage, IEnumerable<Measurement> measurements)
    {
        Dictionary<(string, Characteristic), Measurement> given = [];
        foreach (Measurement m in measurements.Where(m => m.Door == door.Code && m.Build == build && m.Stage == stage && m.Station is not null)) given.TryAdd((m.Station!, m.Characteristic), m);
        LandGaps gaps = new(plan, door, stage, given);
        List<Measurement> all = [];
        foreach (Station station in door.Stations)
        {
            Measurement? read = given.GetValueOrDefault((station.Name, Characteristic.LandGap));
            Seal? seal = plan.SealOf(door.Code, station.Zone);
            if (read?.Value is not null || seal is null)
            {
                if (read is not null) all.Add(read);
                continue;
            }
            all.Add(gaps.Predicted(station, seal, new()
            {
                Build = build,
                Door = door.Code,
                Zone = station.Zone,
                Station = station.Name,
                Characteristic = Characteristic.LandGap,
                Stage = stage,
                Origin = MeasurementOrigin.Predicted,
                Readings = read?.Readings ?? [],
            }, read?.Reason));
        }
        return all;
    }

    /// <summary>The land gap that a station is meant to have, mm: the plan's nominal, or what its nominal compression leaves; null where the plan gives neither.</summary>
    public static double? NominalMm(FitPlan plan, Door door, Station station, Seal seal, string? stage) =>
        DisplacementFits.Target(plan.Limits.For(Characteristic.LandGap, door.Code, station.Zone, station.Name, stage))
        ?? seal.FreeHeightMm * (1 - DisplacementFits.Target(plan.Limits.For(Characteristic.Compression, door.Code, station.Zone, station.Name, stage)) / 100);

    private Measurement Predicted(Station station, Seal seal, Measurement empty, string? notUsed)
    {
        string why = notUsed is null ? "" : $"; the reading was {notUsed}";
        if (NominalMm(_plan, _door, station, seal, _stage) is not double nominal) return empty with { Reason = $"no land gap read, and no nominal land gap or compression to predict it from{why}" };
        if (Moved(station, seal) is not (double moved, IReadOnlyList<UncertaintyComponent> known, string from))
            return empty with { Reason = $"no land gap read, and nothing here to predict it from{why}" };
        UncertaintyComponent land = seal.LandUncertaintyMm is double stated ? new("seal land and carrier, as the plan says", stated / 2, double.PositiveInfinity) { IsShared = true }
            : _scatter.Value ?? UncertaintyComponent.Rectangular(Invariant($"seal land and carrier, taken as {LandHalfWidthMm} mm either way"), LandHalfWidthMm) with { IsShared = true };
        UncertaintyBudget budget = new([.. known, land]);
        Measurement predicted = empty with { Value = nominal + moved, RawValue = nominal + moved, Budget = budget.Components, Reason = $"{from}{why}" };
        return known.Count == 0 ? predicted with { Reason = $"{from}, whose uncertainty is not known{why}" }
            : predicted with { StandardUncertainty = budget.StandardUncertainty, DegreesOfFreedom = budget.EffectiveDegreesOfFreedom, CoverageFactor = budget.CoverageFactor };
    }

    // How far the door stands from nominal here in the direction that opens the seal, with what is known of its uncertainty; null where nothing tells.
    private (double Mm, IReadOnlyList<UncertaintyComponent> Known, string From)? Moved(Station station, Seal seal)
    {
        Characteristic what = seal.Joint == SealJoint.Lap ? Characteristic.Flush : Characteristic.Gap;
        if (Read(station, what) is (double mm, Measurement read)) return (mm, read.StandardUncertainty is null ? [] : [.. read.Budget.Count > 0 ? read.Budget : [new($"{what.Words} here", read.StandardUncertainty.Value, read.DegreesOfFreedom)]], $"predicted from the {what.Words} here, not read");
        Vector3 direction = seal.Joint == SealJoint.Lap ? station.Normal : station.IntoDoor;
        if (_fits.Value.Preferred is not DoorDisplacement fit || !Determines(fit, station, direction)) return null;
        double[] left = [.. fit.Residuals.Where(r => r.Deviation.Characteristic == what && r.Weight > 0).Select(r => r.ResidualMm)];
        if (left.Length < LeastReadForScatter || fit.ExplainedUncertainty(station.Position, direction) is not double explained) return null;
        // Six movements took up part of the scatter; what is left of it is what the next station may stand off.
        double shape = Math.Sqrt(left.Sum(r => r * r) / Math.Max(1, left.Length - 3));
        return (direction.Dot(fit.Displacement.At(station.Position)), [new("how the door hangs", explained, double.PositiveInfinity) { IsShared = true }, new($"shape of the door's {what.Words}", shape, Math.Max(1, left.Length - 3))],
            $"predicted from how the door hangs, neither {what.Words} nor land gap read here");
    }

    private (double Mm, Measurement Read)? Read(Station station, Characteristic what) =>
        _given.GetValueOrDefault((station.Name, what)) is { Value: double value } m && DisplacementFits.Target(_plan.Limits.For(what, _door.Code, station.Zone, station.Name, _stage)) is double target ? (value - target, m) : null;

    // Movements that the readings leave open are taken as nought, which would pass for knowledge: a place that one of them would move has no prediction.
    private static bool Determines(DoorDisplacement fit, Station station, Vector3 direction)
    {
        Vector3 turn = (station.Position - fit.Displacement.About).Cross(direction) / fit.TurnScaleMm;
        double[] share = [direction.X, direction.Y, direction.Z, turn.X, turn.Y, turn.Z];
        return Enumerable.Range(0, 6).All(i => fit.Movements[i].Value is not null || Math.Abs(share[i]) < 1e-3);
    }

    // Root mean square about nought, not about the mean: a land that sits low all round is part of what a prediction is wrong by.
    private UncertaintyComponent? ScatterOfRead()
    {
        List<double> off = [];
        foreach (Station station in _door.Stations)
        {
            if (_given.GetValueOrDefault((station.Name, Characteristic.LandGap))?.Value is not double read || _plan.SealOf(_door.Code, station.Zone) is not Seal seal) continue;
            if (NominalMm(_plan, _door, station, seal, _stage) is double nominal && Read(station, seal.Joint == SealJoint.Lap ? Characteristic.Flush : Characteristic.Gap) is (double moved, _)) off.Add(read - nominal - moved);
        }
        return off.Count < LeastReadForScatter ? null
            : new(Invariant($"seal land and carrier, as {off.Count} land gaps read on this door show"), Math.Sqrt(off.Average(d => d * d)), off.Count) { IsShared = true };
    }
}
