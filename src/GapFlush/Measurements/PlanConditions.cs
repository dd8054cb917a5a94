using GapFlush.Plan;

namespace GapFlush.Measurements;

/// <summary>Brings gauge readings to the conditions the plan is stated for: one measurement for each station and characteristic, with its uncertainty.</summary>
/// <remarks>
/// <para>Method: METHOD.md, eq. 5 to 10. Each reading is corrected for temperature and paint, then repeats are averaged. What was added stands in
/// <see cref="Measurement.Corrections"/>, the value before it in <see cref="Measurement.RawValue"/>.</para>
/// <para>No value: all readings of a station are at a stage that differs in more than paint, or of another definition than the plan's. The
/// measurement is there, without a value, and its reason says so. Stations nobody read have no measurement.</para>
/// <para>Readings without a known gauge uncertainty keep their value but get no stated uncertainty: none is invented.</para>
/// </remarks>
public sealed class PlanConditions
{
    /// <summary>How far the written temperature of the parts may be off, K: limits of a rectangular distribution. Common practice for a contact thermometer on
    /// skin in a hangar, no source.</summary>
    public const double TemperatureHalfWidthK = 2;

    /// <summary>How far an expansion coefficient of the plan may be off, as a share of it: limits of a rectangular distribution. TRADE section 6 quotes
    /// 12 to 16 for glass fabric and 2 to 4 for carbon fabric, 1e-6 per K; the first is 14 % about its middle, the second 33 %.</summary>
    public const double ExpansionHalfWidthShare = 0.25;

    /// <summary>How far a paint allowance may be off, as a share of it: limits of a rectangular distribution. Published film thicknesses (TRADE S3) spread by
    /// 21 % (primer) and 15 % (topcoat) about their middle; edges build up less evenly than faces.</summary>
    public const double PaintHalfWidthShare = 0.25;

    private readonly FitPlan _plan;
    private readonly string? _stage;
    private readonly Dictionary<(string Gauge, string Unit), int> _decimals;
    private readonly Dictionary<(string? Gauge, string Unit), (List<UncertaintyComponent> Sources, string? Unknown)> _byGauge = [];
    private (double Temperature, string? Words) _warmth;

    private PlanConditions(FitPlan plan, string? stage, IReadOnlyList<Reading> readings)
    {
        (_plan, _stage) = (plan, stage);
        // A spreadsheet drops trailing noughts, so one "4" does not mean a rule read to 1 mm: the finest figure written with a gauge counts.
        _decimals = readings.GroupBy(r => (r.Gauge ?? "", r.WrittenUnit)).ToDictionary(g => g.Key, g => g.Max(r => r.WrittenDecimals));
    }

    /// <summary>The stage to judge a door at: the one asked for; else the only one its readings name; else, of several, the last in the plan's order.</summary>
    public static string? StageToJudge(FitPlan plan, string? asked, IEnumerable<Reading> readings)
    {
        if (asked is not null) return asked;
        HashSet<string> named = [.. readings.Select(r => r.Stage).OfType<string>()];
        return named.Count == 0 ? (plan.Stages.Count == 1 ? plan.Stages[0].Name : null)
            : plan.Stages.LastOrDefault(s => named.Contains(s.Name))?.Name ?? named.Order(StringComparer.Ordinal).Last();
    }

    /// <summary>Brings readings to plan conditions.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="stage">The stage wanted, or null to take for each build and door what <see cref="StageToJudge"/> says.</param>
    /// <param name="readings">Readings of any builds and doors; those of doors or stations the plan does not have are passed over.</param>
    /// <returns>One measurement for each build, door, station and characteristic that was read, in the order of builds as met, doors and stations of the plan,
    /// characteristics of the contract.</returns>
    public static IReadOnlyList<Measurement> Apply(FitPlan plan, string? stage, IReadOnlyList<Reading> readings)
    {
        List<Measurement> measurements = [];
        foreach (IGrouping<string, Reading> build in readings.GroupBy(r => r.Build)) AddBuild(plan, stage, [.. build], measurements);
        return measurements;
    }

    /// <summary>The standard uncertainty of what some readings of one characteristic at one station say together; null where it is not known.</summary>
    internal static double? StandardUncertainty(FitPlan plan, string? stage, Door door, Station station, Reading[] readings) =>
        new PlanConditions(plan, stage, readings).Measure(door, station, readings[0].Characteristic, readings).StandardUncertainty;

    /// <summary>The same for the readings of one build, added behind what is there.</summary>
    internal static void AddBuild(FitPlan plan, string? stage, IReadOnlyList<Reading> readings, List<Measurement> measurements)
    {
        foreach (Door door in plan.Doors)
        {
            List<Reading> ofDoor = [];
            Dictionary<string, List<Reading>> byStation = [];
            foreach (Reading reading in readings)
            {
                if (reading.Door != door.Code) continue;
                ofDoor.Add(reading);
                if (!byStation.TryGetValue(reading.Station, out List<Reading>? here)) byStation[reading.Station] = here = [];
                here.Add(reading);
            }
            if (ofDoor.Count == 0) continue;
            PlanConditions conditions = new(plan, StageToJudge(plan, stage, ofDoor), ofDoor);
            foreach (Station station in door.Stations)
            {
                if (!byStation.TryGetValue(station.Name, out List<Reading>? here)) continue;
                foreach (Characteristic characteristic in Characteristic.All)
                {
                    if (here.FindAll(r => r.Characteristic == characteristic) is { Count: > 0 } group) measurements.Add(conditions.Measure(door, station, characteristic, [.. group]));
                }
            }
        }
    }

    private Measurement Measure(Door door, Station station, Characteristic characteristic, Reading[] readings)
    {
        List<(Reading Reading, List<Correction> Corrections)> used = new(readings.Length);
        List<string> refused = [], notes = [];
        foreach (Reading reading in readings)
        {
            List<Correction> corrections = [];
            if ((Refuse(door, reading) ?? ToStage(characteristic, reading, corrections)) is string why)
            {
                if (!refused.Contains(why)) refused.Add(why);
                continue;
            }
            ToReferenceTemperature(door, station, reading, corrections);
            used.Add((reading, corrections));
        }
        if (used.Count > 0 && refused.Count > 0) notes.Add($"{used.Count} of {readings.Length} readings used; the others: {string.Join("; ", refused)}");
        double? raw = used.Count == 0 ? null : used.Count == 1 ? used[0].Reading.Value : used.Average(u => u.Reading.Value);
        (string Why, double Amount)[] summed = Summed(used);
        bool isKnown = false;
        UncertaintyBudget? budget = used.Count == 0 ? null : new(Sources(used, notes, out isKnown));
        return new()
        {
            Build = readings[0].Build,
            Door = door.Code,
            Zone = station.Zone,
            Station = station.Name,
            Characteristic = characteristic,
            Definition = door.DefinitionOf(characteristic),
            Stage = _stage,
            Origin = MeasurementOrigin.Readings,
            Readings = readings,
            Value = raw + summed.Sum(s => s.Amount),
            RawValue = raw,
            Corrections = summed,
            Budget = budget?.Components ?? [],
            StandardUncertainty = isKnown ? budget?.StandardUncertainty : null,
            DegreesOfFreedom = budget?.EffectiveDegreesOfFreedom ?? double.PositiveInfinity,
            CoverageFactor = budget?.CoverageFactor ?? 2,
            Reason = used.Count == 0 ? $"not used: {string.Join("; ", refused)}" : notes.Count > 0 ? string.Join("; ", notes) : null,
        };
    }

    // Same kind of correction on every reading, so its mean is the mean's correction.
    private static (string Why, double Amount)[] Summed(List<(Reading Reading, List<Correction> Corrections)> used) =>
        used.Count == 1 ? [.. used[0].Corrections.Select(c => (c.Why, c.Amount))]
            : [.. used.SelectMany(u => u.Corrections).GroupBy(c => c.Kind).Select(g => (string.Join(", ", g.Select(c => c.Why).Distinct()), g.Sum(c => c.Amount) / used.Count))];

    private List<UncertaintyComponent> Sources(List<(Reading Reading, List<Correction> Corrections)> used, List<string> notes, out bool isKnown)
    {
        List<UncertaintyComponent> sources = [.. MeasuringUncertainty([.. used.Select(u => u.Reading)], notes, out isKnown)];
        if (used.Count > 1) sources.Add(Repeats([.. used.Select(u => u.Reading.Value + u.Corrections.Sum(c => c.Amount))]));
        // Errors of temperature and paint are common to all repeats: the largest counts, not the mean.
        IEnumerable<UncertaintyComponent> corrected = used.SelectMany(u => u.Corrections).SelectMany(c => c.Uncertainty);
        if (used.Count > 1) corrected = corrected.GroupBy(c => c.Source).Select(g => g.MaxBy(c => c.StandardUncertainty)!);
        sources.AddRange(corrected.Where(c => c.StandardUncertainty > 0));
        return sources;
    }

    private static string? Refuse(Door door, Reading reading)
    {
        string? asked = door.DefinitionOf(reading.Characteristic);
        return reading.Definition is string given && asked is not null && !string.Equals(given, asked, StringComparison.OrdinalIgnoreCase)
            ? $"definition {given}, the plan asks for {asked}, and values of two definitions are never compared"
            : null;
    }

    private string? ToStage(Characteristic characteristic, Reading reading, List<Correction> corrections)
    {
        StageChange change = StageChange.Of(_plan, reading.Stage, _stage, characteristic);
        if (change.PaintMm is double amount) corrections.Add(new("paint", change.Words!, amount, [UncertaintyComponent.Rectangular("paint allowance", PaintHalfWidthShare * amount) with { IsShared = true }]));
        return change.Refused;
    }

    private void ToReferenceTemperature(Door door, Station station, Reading reading, List<Correction> corrections)
    {
        if (reading.TemperatureC is not double temperature || TemperatureEffect.Of(_plan, door, station, reading.Characteristic) is not TemperatureEffect effect) return;
        double warmer = temperature - _plan.ReferenceTemperatureC;
        corrections.Add(new("temperature", TemperatureWords(temperature), effect.CorrectionMm(warmer), effect.Uncertainty(warmer)));
    }

    // A door is read at one temperature or a few.
    private string TemperatureWords(double temperature)
    {
        if (_warmth.Words is null || _warmth.Temperature != temperature) _warmth = (temperature, Invariant($"temperature {temperature:0.0} to {_plan.ReferenceTemperatureC:0.0} °C"));
        return _warmth.Words;
    }

    private List<UncertaintyComponent> MeasuringUncertainty(Reading[] readings, List<string> notes, out bool isKnown)
    {
        // Repeats share their gauge's error, so the mean is no better known than its worst reading, apart from scatter.
        List<UncertaintyComponent>? worst = null;
        double largest = -1;
        isKnown = true;
        foreach (Reading reading in readings)
        {
            List<UncertaintyComponent> one = OfReading(reading, out string? unknown);
            if (unknown is not null)
            {
                isKnown = false;
                if (!notes.Contains(unknown)) notes.Add(unknown);
            }
            double size = one.Sum(c => c.StandardUncertainty * c.StandardUncertainty);
            if (size > largest) (worst, largest) = (one, size);
        }
        return worst ?? [];
    }

    private List<UncertaintyComponent> OfReading(Reading reading, out string? unknown)
    {
        unknown = null;
        if (reading.ExpandedUncertainty is double stated) return [new("stated with the reading", stated / 2, double.PositiveInfinity) { IsShared = true }];
        if (!_byGauge.TryGetValue((reading.Gauge, reading.WrittenUnit), out var found)) found = _byGauge[(reading.Gauge, reading.WrittenUnit)] = OfGauge(reading);
        unknown = found.Unknown;
        return found.Sources;
    }

    // One gauge read in one unit has the same error throughout a door.
    private (List<UncertaintyComponent> Sources, string? Unknown) OfGauge(Reading reading)
    {
        string? unknown = null;
        List<UncertaintyComponent> components = [];
        Gauge? gauge = reading.Gauge is null ? null : _plan.FindGauge(reading.Gauge);
        if (gauge?.UncertaintyMm is double expanded) components.Add(new($"gauge {gauge.Name} certificate", expanded / gauge.CoverageFactor, double.PositiveInfinity) { IsShared = true });
        else
        {
            unknown = reading.Gauge is null ? "no gauge and no uncertainty given, so the uncertainty of the value is not known"
                : gauge is null ? $"gauge {reading.Gauge} is not in the plan's gauges, so the uncertainty of the value is not known"
                : $"gauges.csv gives no uncertainty for gauge {reading.Gauge}, so that of the value is not known";
        }
        if (gauge?.ResolutionMm is double step) components.Add(UncertaintyComponent.Rectangular($"resolution of gauge {gauge.Name}", step / 2));
        else if (WrittenStep(reading) is double written) components.Add(UncertaintyComponent.Rectangular("figures written", written / 2));
        return (components, unknown);
    }

    private double? WrittenStep(Reading reading)
    {
        double? unitMm = reading.WrittenUnit switch { "mm" or "%" => 1, "in" => 25.4, "um" => 1e-3, _ => null };
        return unitMm * Math.Pow(10, -_decimals[(reading.Gauge ?? "", reading.WrittenUnit)]);
    }

    private static UncertaintyComponent Repeats(double[] values)
    {
        double mean = values.Average(), squares = values.Sum(v => (v - mean) * (v - mean));
        return new(Invariant($"scatter of {values.Length} repeats"), Math.Sqrt(squares / (values.Length - 1) / values.Length), values.Length - 1);
    }

    private sealed record Correction(string Kind, string Why, double Amount, IReadOnlyList<UncertaintyComponent> Uncertainty);
}
