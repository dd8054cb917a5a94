using System.Collections.Concurrent;
using System.Runtime.CompilerServices;
using GapFlush.Geometry;

namespace GapFlush.Plan;

/// <summary>What the doors of one aircraft type must be like. Read from a folder and checked as a whole by <c>PlanReader</c>.</summary>
public sealed record FitPlan
{
    // By the list of seals, so that a copy of a plan with other seals has its own.
    private static readonly ConditionalWeakTable<IReadOnlyList<Seal>, ConcurrentDictionary<(string Door, string Zone), Seal?>> SealsByPlace = [];

    /// <summary>Name of the plan.</summary>
    public required string Name { get; init; }

    /// <summary>The plan's own revision, or null.</summary>
    public string? Issue { get; init; }

    /// <summary>The aircraft type.</summary>
    public required string AircraftType { get; init; }

    /// <summary>The axes of a plan that does not say.</summary>
    public const string UsualAxes = "x aft, y starboard, z up";

    /// <summary>What the axes mean, free text.</summary>
    public string Axes { get; init; } = UsualAxes;

    /// <summary>Unit vector of the airflow, or null where the plan gives none; steps are then not derived.</summary>
    public Vector3? Airflow { get; init; }

    /// <summary>Temperature that values are stated at, °C (ISO 1: 20).</summary>
    public double ReferenceTemperatureC { get; init; } = 20;

    /// <summary>How values are held against limits.</summary>
    public DecisionRule DecisionRule { get; init; } = DecisionRule.ProveConformity;

    /// <summary>The doors, in file order.</summary>
    public required IReadOnlyList<Door> Doors { get; init; }

    /// <summary>The stages; empty where the plan has none.</summary>
    public IReadOnlyList<Stage> Stages { get; init; } = [];

    /// <summary>Paint allowances between paint states.</summary>
    public IReadOnlyList<PaintAllowance> Paint { get; init; } = [];

    /// <summary>Attitudes in which channels must drain.</summary>
    public IReadOnlyList<Attitude> Attitudes { get; init; } = [];

    /// <summary>Design rain, mm per hour, or null.</summary>
    public double? RainMmPerH { get; init; }

    /// <summary>The limits.</summary>
    public required LimitsTable Limits { get; init; }

    /// <summary>The seals; empty without <c>seals.csv</c>.</summary>
    public IReadOnlyList<Seal> Seals { get; init; } = [];

    /// <summary>Load curves; empty without <c>seal-curves.csv</c>.</summary>
    public IReadOnlyList<SealLoadPoint> SealCurves { get; init; } = [];

    /// <summary>The drain channels; empty without <c>channels.csv</c>.</summary>
    public IReadOnlyList<Channel> Channels { get; init; } = [];

    /// <summary>The adjusters; empty without <c>adjusters.csv</c>.</summary>
    public IReadOnlyList<Adjuster> Adjusters { get; init; } = [];

    /// <summary>The scan targets; empty without <c>datums.csv</c>.</summary>
    public IReadOnlyList<Datum> Datums { get; init; } = [];

    /// <summary>Points of the nominal skin; empty without <c>skin.csv</c>.</summary>
    public IReadOnlyList<SkinPoint> Skin { get; init; } = [];

    /// <summary>The gauges; empty without <c>gauges.csv</c>.</summary>
    public IReadOnlyList<Gauge> Gauges { get; init; } = [];

    /// <summary>The builds; empty without <c>builds.csv</c>.</summary>
    public IReadOnlyList<BuildEntry> Builds { get; init; } = [];

    /// <summary>The seal that runs in a zone of a door, or null: zone over door over any, as limits are chosen.</summary>
    public Seal? SealOf(string door, string zone) => SealsByPlace.GetValue(Seals, static _ => []).GetOrAdd((door, zone), static (place, seals) => Chosen(seals, place.Door, place.Zone), Seals);

    private static Seal? Chosen(IReadOnlyList<Seal> seals, string door, string zone) => seals.Where(s => (s.Door is null || s.Door == door) && (s.Zone is null || s.Zone == zone))
        .OrderByDescending(s => (s.Zone is null ? 0 : 2) + (s.Door is null ? 0 : 1)).FirstOrDefault();

    /// <summary>The door of a code, or null; letter case matters.</summary>
    public Door? FindDoor(string code) => Doors.FirstOrDefault(d => d.Code == code);

    /// <summary>The stage of a name, or null.</summary>
    public Stage? FindStage(string name) => Stages.FirstOrDefault(s => s.Name == name);

    /// <summary>The gauge of a name, or null.</summary>
    public Gauge? FindGauge(string name) => Gauges.FirstOrDefault(g => g.Name == name);
}
