using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Seals;

namespace GapFlush.Workflows;

/// <summary>One door at one stage, with all that is the same for every build: what is corrected how, what is derived from which stations, and in which column every value stands.</summary>
internal sealed class StudiedDoor
{
    /// <summary>What is read at a station, in the order of its columns. A build in which anything else was read is measured in full.</summary>
    public static readonly Characteristic[] Kinds = [Characteristic.Gap, Characteristic.Flush, Characteristic.LandGap];

    private static readonly Characteristic[] OfStations = [.. Kinds, Characteristic.StepForward, Characteristic.StepAft, Characteristic.Compression];
    private static readonly Characteristic[] OfZones = [Characteristic.GapRange, Characteristic.GapTaper];
    private static readonly Characteristic[] OfDoor = [Characteristic.Twist, Characteristic.ClosingLoad, Characteristic.HandleForce];

    private readonly Dictionary<string, int> _places;
    private readonly Dictionary<string, StageChange[]> _changes;
    private readonly HashSet<Characteristic> _limited;

    /// <summary>Prepares a door.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="door">The door.</param>
    /// <param name="stage">The stage the values are stated for, or null.</param>
    /// <param name="limited">What is derived, if it can be.</param>
    public StudiedDoor(FitPlan plan, Door door, string? stage, HashSet<Characteristic> limited)
    {
        (Plan, Door, Stage, _limited) = (plan, door, stage, limited);
        int n = door.Stations.Count;
        _places = door.Stations.Select((s, i) => (s.Name, i)).ToDictionary(s => s.Name, s => s.i);
        _changes = plan.Stages.Select(s => s.Name).Distinct().ToDictionary(s => s, s => Array.ConvertAll(Kinds, k => StageChange.Of(plan, s, stage, k)));
        Definitions = Array.ConvertAll(Kinds, door.DefinitionOf);
        Effects = [.. door.Stations.SelectMany(s => Kinds.Select(k => TemperatureEffect.Of(plan, door, s, k)))];
        IReadOnlyList<string> zones = door.Zones;
        Zones = [.. zones.Select(z => new StudiedZone(door, z))];
        Corners = Twist.Corners(door) is IReadOnlyList<Station> corners ? [.. corners.Select(s => s.Index)] : null;
        Seals = [.. door.Stations.Select(s => plan.SealOf(door.Code, s.Zone))];
        CompressionLimits = [.. door.Stations.Select(s => plan.Limits.For(Characteristic.Compression, door.Code, s.Zone, s.Name, stage))];
        HasSealToStudy = SealState.LimitsLoads(plan, door, stage) || Seals.Any(s => s is not null) || CompressionLimits.Any(l => l is not null);
        IReadOnlyDictionary<string, SealLoadCurve> curves = SealState.CurvesOf(plan);
        Curves = [.. Seals.Select(s => s is null ? null : curves.GetValueOrDefault(s.Name))];
        Columns =
        [
            .. door.Stations.SelectMany(s => OfStations.Select(c => Key(c, s.Zone, s.Name))),
            .. zones.SelectMany(z => OfZones.Select(c => Key(c, z, null))),
            .. OfDoor.Select(c => Key(c, null, null)),
        ];
        ZoneColumns = n * OfStations.Length;
        DoorColumns = ZoneColumns + zones.Count * OfZones.Length;

        SeriesKey Key(Characteristic c, string? zone, string? station) => new(door.Code, zone, station, c, door.DefinitionOf(c), stage, null, null);
    }

    public FitPlan Plan { get; }

    public Door Door { get; }

    public string? Stage { get; }

    /// <summary>What every column is about, mould revisions left open.</summary>
    public IReadOnlyList<SeriesKey> Columns { get; }

    /// <summary>The first column of the zones.</summary>
    public int ZoneColumns { get; }

    /// <summary>The first column of the whole door.</summary>
    public int DoorColumns { get; }

    /// <summary>The definition the plan asks for, by kind.</summary>
    public string?[] Definitions { get; }

    /// <summary>What temperature does, by station and kind.</summary>
    public TemperatureEffect?[] Effects { get; }

    public StudiedZone[] Zones { get; }

    /// <summary>Indices of the four corner stations, or null.</summary>
    public int[]? Corners { get; }

    public Seal?[] Seals { get; }

    public SealLoadCurve?[] Curves { get; }

    public LimitRow?[] CompressionLimits { get; }

    /// <summary>False where the plan gives this door no seal and limits nothing of one.</summary>
    public bool HasSealToStudy { get; }

    /// <summary>True where a characteristic is to be derived.</summary>
    public bool Wants(Characteristic characteristic) => _limited.Contains(characteristic);

    /// <summary>Index of a station, or -1.</summary>
    public int PlaceOf(string station) => _places.GetValueOrDefault(station, -1);

    /// <summary>Column of a characteristic of a station.</summary>
    public static int StationColumn(int station, Characteristic characteristic) => station * OfStations.Length + Array.IndexOf(OfStations, characteristic);

    /// <summary>Column of a characteristic of a zone.</summary>
    public int ZoneColumn(int zone, Characteristic characteristic) => ZoneColumns + zone * OfZones.Length + Array.IndexOf(OfZones, characteristic);

    /// <summary>Column of a characteristic of the whole door.</summary>
    public int DoorColumn(Characteristic characteristic) => DoorColumns + Array.IndexOf(OfDoor, characteristic);

    /// <summary>What a reading of a stage needs to speak of this one.</summary>
    public StageChange Change(string? read, int kind) => read is null || read == Stage || Stage is null ? default
        : _changes.TryGetValue(read, out StageChange[]? all) ? all[kind] : StageChange.Of(Plan, read, Stage, Kinds[kind]);
}
