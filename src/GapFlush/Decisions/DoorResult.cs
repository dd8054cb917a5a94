using GapFlush.Doubts;
using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Decisions;

/// <summary>Everything that is said of one door of one build: every value judged, what is derived from them, and how the door hangs.</summary>
/// <remarks>
/// <para>Rows: stations in plan order, each with gap, flush, steps, then any other characteristic measured or limited there; then zones; then the door.</para>
/// <para>A limited value that is not there makes its zone and the door "not judged", even where others are outside: the words say both.</para>
/// </remarks>
public sealed record DoorResult
{
    private DoorResult()
    {
    }

    /// <summary>The door.</summary>
    public required Door Door { get; init; }

    /// <summary>Serial of the aircraft.</summary>
    public required string Build { get; init; }

    /// <summary>The stage judged at, or null.</summary>
    public required string? Stage { get; init; }

    /// <summary>All rows, in the order of the results file.</summary>
    public required IReadOnlyList<ResultRow> Rows { get; init; }

    /// <summary>Rows by verdict.</summary>
    public required VerdictCounts Counts { get; init; }

    /// <summary>The fit verdict of the door.</summary>
    public FitVerdict Verdict => Counts.Verdict;

    /// <summary>The verdict of each zone that has limited values, in the order met round the outline: its stations and its own rows.</summary>
    public required IReadOnlyList<(string Zone, VerdictCounts Counts)> Zones { get; init; }

    /// <summary>The verdict on the data.</summary>
    public required DataVerdict Data { get; init; }

    /// <summary>The rigid displacement of the door.</summary>
    public required DisplacementFits Displacement { get; init; }

    /// <summary>What would remain of each gap and flush without the displacement; empty where there is none.</summary>
    public required IReadOnlyList<RemainingRow> Remaining { get; init; }

    /// <summary>The verdict in one line: "not judged: 2 outside, 6 missing, 130 within (gap and flush missing at 07, 08)".</summary>
    public string Words
    {
        get
        {
            ResultRow[] missing = [.. Rows.Where(r => r.Verdict == Decisions.Verdict.Missing)];
            if (missing.Length == 0) return Counts.Words;
            if (missing.Length == Counts.Total) return $"not judged: none of {Counts.Total} limited values is there";
            // What hangs on a missing reading (steps, range, twist) goes without saying; it is named only where nothing read is missing.
            ResultRow[] read = [.. missing.Where(r => r.Measurement.Characteristic.IsRead)];
            ResultRow[] named = read.Length > 0 ? read : missing;
            List<(string What, string Where)> parts = [];
            foreach (IGrouping<Characteristic, ResultRow> group in named.GroupBy(r => r.Measurement.Characteristic))
            {
                string[] places = [.. group.Select(r => r.Measurement.Station ?? r.Measurement.Zone).OfType<string>()];
                parts.Add((group.Key.Words, places.Length == 0 ? "" : places.Length <= 6 ? $" at {string.Join(", ", places)}" : $" at {string.Join(", ", places.Take(5))} and {places.Length - 5} more"));
            }
            return $"{Counts.Words} ({string.Join("; ", parts.GroupBy(p => p.Where).Select(g => $"{And([.. g.Select(p => p.What)])} missing{g.Key}"))})";

            static string And(string[] words) => words.Length == 1 ? words[0] : $"{string.Join(", ", words[..^1])} and {words[^1]}";
        }
    }

    /// <summary>The stage a door is judged at: the one asked for; else that of the door's measurements, or of the build's where the door has none.</summary>
    public static string? StageOf(Door door, string build, string? asked, IReadOnlyList<Measurement> measurements)
    {
        if (asked is not null) return asked;
        Measurement[] ofBuild = [.. measurements.Where(m => m.Build == build)], ofDoor = [.. ofBuild.Where(m => m.Door == door.Code)];
        return (ofDoor.Length > 0 ? ofDoor : ofBuild).Select(m => m.Stage).OfType<string>().FirstOrDefault();
    }

    /// <summary>The same door with rows that others worked out for it (its drain channels), which count in its verdict.</summary>
    public DoorResult WithFurther(IReadOnlyList<ResultRow> rows) => rows.Count == 0 ? this : this with { Rows = [.. Rows, .. rows], Counts = Counts + VerdictCounts.Of(rows) };

    /// <summary>Judges a door.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="door">The door.</param>
    /// <param name="build">Serial of the aircraft.</param>
    /// <param name="stage">The stage to judge at; null to take the stage of the door's measurements, or of the build's where the door has none.</param>
    /// <param name="measurements">Measurements at plan conditions; those of other doors, builds or stages are passed over. Derived ones (compression, closing
    /// load) may be among them; steps, gap range, gap taper and twist are worked out here unless they are.</param>
    /// <param name="doubts">Doubts about the data; those of other doors are passed over.</param>
    public static DoorResult For(FitPlan plan, Door door, string build, string? stage, IReadOnlyList<Measurement> measurements, IReadOnlyList<Doubt> doubts)
    {
        Measurement[] ofDoor = [.. measurements.Where(m => m.Door == door.Code && m.Build == build)];
        stage = StageOf(door, build, stage, measurements);
        Dictionary<(string? Zone, string? Station, Characteristic), Measurement> given = [];
        foreach (Measurement m in ofDoor.Where(m => m.Stage == stage)) given.TryAdd((m.Station is null ? m.Zone : null, m.Station, m.Characteristic), m);

        List<ResultRow> rows = [];
        foreach (Station station in door.Stations) rows.AddRange(StationRows(plan, door, station, build, stage, given));
        Dictionary<string, Measurement> gaps = ByStation(Characteristic.Gap), flushes = ByStation(Characteristic.Flush);
        foreach (string zone in door.Zones)
        {
            foreach (Measurement m in Completed(GapOverZone.Of(door, zone, gaps, build, stage), (zone, null)))
                AddUnlessIdle(rows, Judge(plan, m, plan.Limits.For(m.Characteristic, door.Code, zone, null, stage)));
        }
        foreach (Measurement m in Completed([Twist.Of(door, flushes, build, stage)], (null, null)))
            AddUnlessIdle(rows, Judge(plan, m, plan.Limits.For(m.Characteristic, door.Code, null, null, stage)));

        DisplacementFits fits = DisplacementFits.Of(plan, door, stage, given.Values);
        bool isComplete = !rows.Any(r => r.Verdict == Decisions.Verdict.Missing && r.Measurement.Station is not null
            && (r.Measurement.Characteristic == Characteristic.Gap || r.Measurement.Characteristic == Characteristic.Flush));
        return new()
        {
            Door = door,
            Build = build,
            Stage = stage,
            Rows = rows,
            Counts = VerdictCounts.Of(rows),
            Zones = [.. door.Zones.Select(z => (z, VerdictCounts.Of(rows.Where(r => r.Measurement.Zone == z)))).Where(z => z.Item2.Total > 0)],
            Data = DataVerdict.Of(door.Code, isComplete, doubts),
            Displacement = fits,
            Remaining = Remains(plan, rows, fits),
        };

        Dictionary<string, Measurement> ByStation(Characteristic characteristic) =>
            given.Where(g => g.Key.Station is not null && g.Key.Item3 == characteristic).ToDictionary(g => g.Key.Station!, g => g.Value);

        // What the caller worked out counts before what is worked out here; what only the caller knows comes after.
        IEnumerable<Measurement> Completed(IReadOnlyList<Measurement> derived, (string? Zone, string? Station) place)
        {
            foreach (Measurement m in derived) yield return given.GetValueOrDefault((place.Zone, place.Station, m.Characteristic)) ?? m;
            foreach (Characteristic c in Characteristic.All)
                if (derived.All(d => d.Characteristic != c) && given.TryGetValue((place.Zone, place.Station, c), out Measurement? m)) yield return m;
        }
    }

    private static IEnumerable<ResultRow> StationRows(FitPlan plan, Door door, Station station, string build, string? stage,
        Dictionary<(string? Zone, string? Station, Characteristic), Measurement> given)
    {
        Measurement? flush = null;
        foreach (Characteristic characteristic in Characteristic.All)
        {
            if (characteristic.Scope != CharacteristicScope.Station) continue;
            LimitRow? row = plan.Limits.For(characteristic, door.Code, station.Zone, station.Name, stage);
            Measurement? measurement = given.GetValueOrDefault((null, station.Name, characteristic));
            if (characteristic == Characteristic.Flush) flush = measurement;
            bool isStep = characteristic == Characteristic.StepForward || characteristic == Characteristic.StepAft;
            if (measurement is null && isStep) measurement = Step(plan, door, station, characteristic, flush, Empty());
            // Compression is not worked out here; whoever does hands it in, or hands in the reason why there is none.
            if (measurement is null && (row is null || characteristic == Characteristic.Compression)) continue;
            ResultRow judged = Judge(plan, measurement ?? Empty() with { Reason = "no reading" }, row);
            if (isStep && judged.Verdict is null && judged.Measurement.Value is null) continue;
            yield return judged;

            Measurement Empty() => new()
            {
                Build = build,
                Door = door.Code,
                Zone = station.Zone,
                Station = station.Name,
                Characteristic = characteristic,
                Definition = door.DefinitionOf(characteristic),
                Stage = stage,
                Origin = isStep ? MeasurementOrigin.Derived : MeasurementOrigin.Readings,
            };
        }
    }

    private static Measurement Step(FitPlan plan, Door door, Station station, Characteristic characteristic, Measurement? flush, Measurement empty)
    {
        if (plan.Airflow is not Vector3 airflow) return empty with { Reason = "plan.json gives no airflow" };
        if (flush?.Value is not double value) return empty with { Reason = $"no flush at station {station.Name} of door {door.Code}" };
        if (StepsFromFlush.At(station, airflow, value) is not StepsFromFlush steps) return empty with { Reason = "the airflow stands square to the skin here" };
        double height = characteristic == Characteristic.StepForward ? steps.ForwardMm : steps.AftMm;
        Measurement step = empty with { Value = height, RawValue = height, Origin = flush.Origin == MeasurementOrigin.Predicted ? MeasurementOrigin.Predicted : MeasurementOrigin.Derived };
        return flush.StandardUncertainty is not double u ? step
            : step with
            {
                Budget = [new($"flush at {station.Name}", steps.Factor * u, flush.DegreesOfFreedom)],
                StandardUncertainty = steps.Factor * u,
                DegreesOfFreedom = flush.DegreesOfFreedom,
                CoverageFactor = flush.CoverageFactor,
            };
    }

    // A zone or door row that is neither limited nor there says nothing.
    private static void AddUnlessIdle(List<ResultRow> rows, ResultRow row)
    {
        if (row.Verdict is not null || row.Measurement.Value is not null) rows.Add(row);
    }

    private static ResultRow Judge(FitPlan plan, Measurement measurement, LimitRow? row)
    {
        // That a value was predicted, or a load carried on beyond its curve, is to be read beside the verdict, whatever that is.
        string? note = measurement.Origin == MeasurementOrigin.Predicted || measurement.Characteristic == Characteristic.ClosingLoad || measurement.Characteristic == Characteristic.HandleForce ? measurement.Reason : null;
        if (row is null) return new(measurement, null, null, null, measurement.Value is null ? measurement.Reason : note);
        if (measurement.Value is not double value) return new(measurement, row.Nominal, row.Limits, Decisions.Verdict.Missing, measurement.Reason ?? "no value");
        Conformity conformity = Conformity.Judge(value, measurement.ExpandedUncertainty, measurement.CoverageFactor, row.Limits, plan.DecisionRule, row.Nominal);
        return new(measurement, row.Nominal, row.Limits, conformity.Verdict, conformity.Words is string words && note is not null ? $"{words}; {note}" : conformity.Words ?? note);
    }

    private static List<RemainingRow> Remains(FitPlan plan, List<ResultRow> rows, DisplacementFits fits)
    {
        List<RemainingRow> remaining = [];
        if (fits.Preferred is not DoorDisplacement displacement) return remaining;
        Dictionary<(string, Characteristic), double> explained = displacement.Residuals.ToDictionary(r => (r.Deviation.Station, r.Deviation.Characteristic), r => r.ExplainedMm);
        foreach (ResultRow row in rows)
        {
            if (row.Measurement.Station is not string station || row.Measurement.Value is not double value || !explained.TryGetValue((station, row.Measurement.Characteristic), out double part)) continue;
            Conformity? after = row.Limits is null ? null
                : Conformity.Judge(value - part, row.Measurement.ExpandedUncertainty, row.Measurement.CoverageFactor, row.Limits, plan.DecisionRule, row.Nominal);
            remaining.Add(new(row, part, value - part, after?.Verdict, after?.Words));
        }
        return remaining;
    }
}
