using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Seals;

namespace GapFlush.Workflows;

/// <summary>What a study over builds takes from the seal of a door: compression where the land gap was read, closing load and handle force where most of it was.</summary>
/// <remarks>
/// A predicted land gap repeats flush or gap and knows nothing of how lands scatter from build to build: a compression that rests on one is left out, or the process would look
/// better than it is. A load of the whole door counts where at least <see cref="LeastShareRead"/> of its land gaps were read (our own choice: no source).
/// </remarks>
internal static class SealsOverBuilds
{
    /// <summary>Share of the land gaps of a door that must have been read for its loads to count.</summary>
    public const double LeastShareRead = 0.5;

    private static readonly Characteristic[] OfSeal = [Characteristic.Compression, Characteristic.ClosingLoad, Characteristic.HandleForce];

    /// <summary>The values of one door of one build at one stage.</summary>
    public static IEnumerable<Measurement> Of(FitPlan plan, Door door, string build, string? stage, IReadOnlyList<Measurement> group, HashSet<Characteristic> limited)
    {
        if (!OfSeal.Any(limited.Contains) || !group.Any(IsLandGap) || SealState.Of(plan, door, build, DoorResult.StageOf(door, build, stage, group), group) is not SealState seal) return [];
        IEnumerable<Measurement> compressions = seal.Compressions.OfType<Measurement>().Where(c => c.Value is not null && c.Origin != MeasurementOrigin.Predicted);
        int sealed_ = seal.Stations.Count(s => s.HasSeal), predicted = seal.Stations.Count(s => s.IsPredicted && s.CompressionPercent is not null);
        return predicted > (1 - LeastShareRead) * sealed_ ? compressions : [.. compressions, seal.ClosingLoad, SealLoads.HandleForce(door, seal.ClosingLoad)];
    }

    /// <summary>What could not be studied of the seals, a sentence each; empty where nothing is missing.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="series">Every series that there was to study, and its builds.</param>
    /// <param name="only">Only this door; null for all.</param>
    /// <param name="characteristic">Only this characteristic; null for all.</param>
    public static IReadOnlyList<string> Missing(FitPlan plan, IReadOnlyList<(SeriesKey Key, IReadOnlyList<string> Builds)> series, string? only, Characteristic? characteristic)
    {
        HashSet<Characteristic> limited = [.. plan.Limits.Rows.Select(r => r.Characteristic).Where(c => OfSeal.Contains(c) && (characteristic is null || c == characteristic))];
        if (limited.Count == 0) return [];
        List<string> words = [];
        foreach (Door door in plan.Doors)
        {
            if (only is not null && door.Code != only || door.Stations.All(s => plan.SealOf(door.Code, s.Zone) is null)) continue;
            int builds = BuildsOf(door, null), pressed = BuildsOf(door, Characteristic.Compression);
            if (builds == 0) continue;
            int loaded = BuildsOf(door, Characteristic.ClosingLoad);
            if (limited.Contains(Characteristic.Compression) && pressed < builds)
                words.Add(Invariant($"{door.Code}: no seal compression from {builds - pressed} of {builds} builds, which have no land_gap read; predicted ones are not studied."));
            if ((limited.Contains(Characteristic.ClosingLoad) || limited.Contains(Characteristic.HandleForce)) && loaded < builds && (pressed > 0 || !limited.Contains(Characteristic.Compression)))
                words.Add(Invariant($"{door.Code}: no closing load or handle force from {builds - loaded} of {builds} builds, where less than half of the land gaps were read or seal data are missing."));
        }
        return words;

        int BuildsOf(Door door, Characteristic? what) => series.Where(s => s.Key.Door == door.Code && (what is null || s.Key.Characteristic == what)).Select(s => s.Builds).Distinct().SelectMany(b => b).Distinct().Count();
    }

    private static bool IsLandGap(Measurement m) => m.Characteristic == Characteristic.LandGap && m.Value is not null;
}
