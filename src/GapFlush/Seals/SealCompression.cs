using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Seals;

/// <summary>The compression of the seal at one station, today and when it has taken its set. METHOD.md, eq. 1, 5 and 9.</summary>
internal static class SealCompression
{
    /// <summary>The compression at a station from its land gap.</summary>
    /// <param name="door">The door.</param>
    /// <param name="station">The station.</param>
    /// <param name="build">Serial, for the result.</param>
    /// <param name="stage">Stage, for the result.</param>
    /// <param name="seal">The seal that runs here, or null.</param>
    /// <param name="gap">The land gap, read or predicted, or null.</param>
    public static Measurement At(Door door, Station station, string build, string? stage, Seal? seal, Measurement? gap)
    {
        Measurement start = new()
        {
            Build = build,
            Door = door.Code,
            Zone = station.Zone,
            Station = station.Name,
            Characteristic = Characteristic.Compression,
            Stage = stage,
            Origin = gap?.Origin == MeasurementOrigin.Predicted ? MeasurementOrigin.Predicted : MeasurementOrigin.Derived,
        };
        if (seal is null) return start with { Reason = $"seals.csv gives no seal for zone {station.Zone} of door {door.Code}" };
        if (gap?.Value is not double landGap) return start with { Reason = gap?.Reason ?? "no land gap" };
        double height = seal.FreeHeightMm, perMm = 100 / height;
        Measurement result = start with { Value = CompressionSet.CompressionPercent(height, landGap), RawValue = gap.RawValue is double raw ? CompressionSet.CompressionPercent(height, raw) : null, Reason = gap.Reason };
        if (gap.StandardUncertainty is not double u) return result;
        IReadOnlyList<UncertaintyComponent> sources = gap.Budget.Count > 0 ? gap.Budget : [new("land gap", u, gap.DegreesOfFreedom)];
        List<UncertaintyComponent> budget = [.. sources.Select(c => c with { StandardUncertainty = perMm * c.StandardUncertainty })];
        // dc/dh0 = 100 g / h0².
        if (seal.FreeHeightUncertaintyMm is double free) budget.Add(UncertaintyComponent.Of($"free height of seal {seal.Name}", perMm * landGap / height, free / 2) with { IsShared = true });
        return Derived.WithBudget(result, new(budget));
    }

    /// <summary>Standard uncertainty that belongs to the station alone, per cent.</summary>
    public static double OwnPercent(Measurement? compression) => Root(compression, shared: false);

    /// <summary>Standard uncertainty that all stations may share, per cent.</summary>
    public static double SharedPercent(Measurement? compression) => Root(compression, shared: true);

    /// <summary>The station when its seal has taken the plan's set: the same land gap, the free height grown less. Unknown where the plan gives the seal no set.</summary>
    public static SealStation Aged(SealStation station, Seal? seal)
    {
        if (seal?.SetPercent is not double set || station.CompressionPercent is not double now) return station with { CompressionPercent = null };
        double gap = seal.FreeHeightMm * (1 - now / 100), height = CompressionSet.FreeHeightAfterMm(seal.FreeHeightMm, now, set), share = AgedShare(now, set)!.Value;
        return station with
        {
            CompressionPercent = CompressionSet.CompressionPercent(height, gap),
            OwnUncertaintyPercent = share * station.OwnUncertaintyPercent,
            CommonUncertaintyPercent = share * station.CommonUncertaintyPercent,
        };
    }

    /// <summary>How much the aged compression changes with today's: (1 - s) / (1 - s c)², and 1 without contact; null where one of them is not known.</summary>
    public static double? AgedShare(double? compressionPercent, double? setPercent) =>
        compressionPercent is not double c || setPercent is not double s ? null : c <= 0 ? 1 : (1 - s / 100) / Math.Pow(1 - s / 100 * c / 100, 2);

    private static double Root(Measurement? compression, bool shared) =>
        compression is null ? 0 : Math.Sqrt(compression.Budget.Where(c => c.IsShared == shared).Sum(c => c.StandardUncertainty * c.StandardUncertainty));
}
