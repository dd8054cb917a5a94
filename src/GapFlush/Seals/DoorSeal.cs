using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Seals;

/// <summary>The seal of one door of one build: how much it is pressed at each station and round the door, what it takes to close it, and what will be left when it has aged.</summary>
/// <remarks>
/// <para>Compression of a stage at which the seal is removed is what it will be when it is fitted and the door stays where it is.</para>
/// <para>No value: a station without a land gap, read or predicted, has no compression, and the door then no closing load; each says why.</para>
/// <para>It presses, or it does not. Whether it is tight, a water test and the approved data decide.</para>
/// </remarks>
public sealed record DoorSeal
{
    /// <summary>The caution that goes with everything said of seals.</summary>
    public const string Caution = "A seal that presses is not thereby tight: a water test and the approved data decide.";

    private DoorSeal()
    {
    }

    /// <summary>The door.</summary>
    public required Door Door { get; init; }

    /// <summary>The land gap of each station, read or predicted, in station order.</summary>
    public required IReadOnlyList<Measurement> LandGaps { get; init; }

    /// <summary>The compression of each station that has a seal or a limit for it, in station order.</summary>
    public required IReadOnlyList<Measurement> Compressions { get; init; }

    /// <summary>Every station of the door in order, as the ring is traced.</summary>
    public required IReadOnlyList<SealStation> Stations { get; init; }

    /// <summary>The seal round the door.</summary>
    public required SealRing Ring { get; init; }

    /// <summary>Stretches below the least compression.</summary>
    public required IReadOnlyList<LeakRun> Leaks { get; init; }

    /// <summary>The stations when the seal has taken the set that the plan expects; null where the plan gives no set for any of them.</summary>
    public required IReadOnlyList<SealStation>? AgedStations { get; init; }

    /// <summary>The seal round the door at that set, or null.</summary>
    public required SealRing? AgedRing { get; init; }

    /// <summary>Stretches below the least compression at that set; empty where none is given.</summary>
    public required IReadOnlyList<LeakRun> AgedLeaks { get; init; }

    /// <summary>Force that the whole seal puts up against closing, N.</summary>
    public required Measurement ClosingLoad { get; init; }

    /// <summary>Force at the handle, N; without a value where the plan gives no lever arms.</summary>
    public required Measurement HandleForce { get; init; }

    /// <summary>True where the plan names a seal for some station of the door.</summary>
    public bool HasSeal => Stations.Any(s => s.HasSeal);

    /// <summary>Stations whose compression rests on a predicted land gap.</summary>
    public IReadOnlyList<string> Predicted => [.. Stations.Where(s => s.IsPredicted && s.CompressionPercent is not null).Select(s => s.Station)];

    /// <summary>Stations with a seal whose compression is not known.</summary>
    public IReadOnlyList<string> Unknown => [.. Stations.Where(s => s.HasSeal && s.CompressionPercent is null).Select(s => s.Station)];

    /// <summary>What is to be judged: predicted land gaps, compressions, closing load and handle force. Land gaps that were read are with the caller already.</summary>
    public IReadOnlyList<Measurement> Measurements => [.. LandGaps.Where(g => g.Origin == MeasurementOrigin.Predicted), .. Compressions, ClosingLoad, HandleForce];

    /// <summary>The state of the seal in half a line: "1 leak run, 74 mm at 11", "pressed all round, least 25.3 % at 12".</summary>
    public string ShortWords
    {
        get
        {
            SealStation[] known = [.. Stations.Where(s => s.CompressionPercent is not null)];
            if (known.Length == 0) return "compression not known";
            SealStation least = known.MinBy(s => s.CompressionPercent)!;
            string open = Unknown.Count == 0 ? "" : Unknown.Count == 1 ? $", not known at {Unknown[0]}" : Invariant($", not known at {Unknown.Count} stations");
            string place = Invariant($"least {least.CompressionPercent:0.0} % at {least.Station}");
            if (Leaks.Count > 0) return Invariant($"{Leaks.Count} {(Leaks.Any(l => l.IsPath) ? "leak path" : "leak run")}{(Leaks.Count > 1 ? "s, the longest" : "")} {Leaks.Max(l => l.Run.LengthMm):0} mm, {place}{open}");
            bool limited = known.All(s => s.LeastPercent is not null);
            return $"{(limited ? Unknown.Count == 0 ? "no leak run" : "no leak run where it is known" : "no least compression is given")}, {place}{open}";
        }
    }

    /// <summary>What length of leak could hide, in a sentence; null where no compression is known.</summary>
    public string? HidingWords
    {
        get
        {
            if (Stations.All(s => s.CompressionPercent is null)) return null;
            if (Ring.WidestBetween is not (string from, string to)) return "Land gaps were not read at two stations or more: a land or carrier that sits wrong would not show, whatever its length.";
            int first = Stations.ToList().FindIndex(s => s.Station == from);
            bool over = Stations[(first + 1) % Stations.Count].Station != to;
            return Invariant($"Between stations the compression is taken to run straight; a leak of up to {Ring.WidestSpacingMm:0} mm could hide between {from} and {to}, the widest spacing{(over ? " of land gaps read" : "")}.");
        }
    }

    /// <summary>Works out the seal of a door.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="door">The door; at least two stations.</param>
    /// <param name="build">Serial of the aircraft.</param>
    /// <param name="stage">The stage judged at, or null.</param>
    /// <param name="measurements">Measurements at plan conditions; those of other doors, builds or stages are passed over.</param>
    /// <returns>Null where the plan gives this door no seal and limits nothing of one.</returns>
    public static DoorSeal? Of(FitPlan plan, Door door, string build, string? stage, IReadOnlyList<Measurement> measurements)
    {
        if (SealState.Of(plan, door, build, stage, measurements) is not SealState now) return null;
        (IReadOnlyList<Seal?> seals, IReadOnlyList<SealStation> stations, SealRing ring) = (now.Seals, now.Stations, now.Ring);
        string[] zones = [.. door.Stations.Select(s => s.Zone)];
        double?[] expanded = [.. now.Compressions.Select(c => c?.ExpandedUncertainty)];

        bool ages = seals.Any(s => s?.SetPercent is not null);
        SealStation[]? aged = ages ? [.. stations.Select((s, i) => SealCompression.Aged(s, seals[i]))] : null;
        SealRing? agedRing = aged is null ? null : SealRing.Trace(aged, door.PerimeterMm);
        double?[] agedExpanded = [.. expanded.Select((u, i) => u * SealCompression.AgedShare(stations[i].CompressionPercent, seals[i]?.SetPercent))];
        return new()
        {
            Door = door,
            LandGaps = now.LandGaps,
            Compressions = [.. now.Compressions.OfType<Measurement>()],
            Stations = stations,
            Ring = ring,
            Leaks = LeakRuns.Of(stations, zones, ring, door.LeakLengthMm, expanded),
            AgedStations = aged,
            AgedRing = agedRing,
            AgedLeaks = aged is null ? [] : LeakRuns.Of(aged, zones, agedRing!, door.LeakLengthMm, agedExpanded),
            ClosingLoad = now.ClosingLoad,
            HandleForce = SealLoads.HandleForce(door, now.ClosingLoad),
        };
    }
}
