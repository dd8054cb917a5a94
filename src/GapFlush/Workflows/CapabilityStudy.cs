using GapFlush.Capability;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>Over what a capability is stated.</summary>
public enum CapabilityScope
{
    /// <summary>Each station.</summary>
    Station,

    /// <summary>Each zone, its stations together.</summary>
    Zone,

    /// <summary>Each door, its stations together.</summary>
    Door,
}

/// <summary>One line of a capability study.</summary>
/// <param name="Key">What it is about.</param>
/// <param name="Capability">What is said of it.</param>
/// <param name="Values">One value a build (for a zone or door the mean of its places), in order of making.</param>
/// <param name="Builds">The serials in the same order.</param>
/// <param name="Note">What to know about it, or null.</param>
public sealed record CapabilityLine(SeriesKey Key, ProcessCapability Capability, IReadOnlyList<double> Values, IReadOnlyList<string> Builds, string? Note);

/// <summary>Is the process capable? Capability of every place against its limits over builds.</summary>
/// <remarks>Stages, definitions and (unless asked) mould revisions are never mixed. Zones and doors take builds apart from the places on them.</remarks>
/// <param name="Lines">In the order of the plan; within a place the newest mould revision first.</param>
public sealed record CapabilityStudy(IReadOnlyList<CapabilityLine> Lines)
{
    /// <summary>Runs the study.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="measurements">Measurements at plan conditions of many builds.</param>
    /// <param name="scope">By station, zone or door.</param>
    /// <param name="characteristic">Only this one; null for all.</param>
    /// <param name="acrossRevisions">True to take mould revisions together.</param>
    public static CapabilityStudy Run(FitPlan plan, IReadOnlyList<Measurement> measurements, CapabilityScope scope = CapabilityScope.Station, Characteristic? characteristic = null, bool acrossRevisions = false)
    {
        return Of(plan, [.. MeasuredSeries.Sort(plan, measurements, acrossRevisions).Select(ValueSeries.Of)], scope, characteristic);
    }

    /// <summary>Runs the study from readings: the same result, and a million of them fit.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="stage">Only this stage, readings brought to it where paint alone differs; null for every stage for itself.</param>
    /// <param name="readings">Readings of many builds.</param>
    /// <param name="scope">By station, zone or door.</param>
    /// <param name="characteristic">Only this one; null for all.</param>
    /// <param name="acrossRevisions">True to take mould revisions together.</param>
    public static CapabilityStudy OfReadings(FitPlan plan, string? stage, IReadOnlyList<Reading> readings, CapabilityScope scope = CapabilityScope.Station, Characteristic? characteristic = null, bool acrossRevisions = false) =>
        OfReadings(plan, stage, BareReading.Of(readings), scope, characteristic, acrossRevisions);

    /// <summary>Runs the study from bare readings, which are all it needs.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="stage">Only this stage, readings brought to it where paint alone differs; null for every stage for itself.</param>
    /// <param name="readings">Readings of many builds.</param>
    /// <param name="scope">By station, zone or door.</param>
    /// <param name="characteristic">Only this one; null for all.</param>
    /// <param name="acrossRevisions">True to take mould revisions together.</param>
    public static CapabilityStudy OfReadings(FitPlan plan, string? stage, BareReading[] readings, CapabilityScope scope = CapabilityScope.Station, Characteristic? characteristic = null, bool acrossRevisions = false) =>
        Of(plan, ValueSeries.Of(plan, stage, readings, characteristic, acrossRevisions), scope, characteristic);

    internal static CapabilityStudy Of(FitPlan plan, IReadOnlyList<ValueSeries> all, CapabilityScope scope, Characteristic? characteristic)
    {
        ValueSeries[] series = [.. all.Where(s => characteristic is null || s.Key.Characteristic == characteristic)];
        List<Func<CapabilityLine>> lines = [.. series.Where(s => scope == CapabilityScope.Station || s.Key.Station is null).Select(s => (Func<CapabilityLine>)(() => OfSeries(plan, s)))];
        if (scope != CapabilityScope.Station)
        {
            lines.AddRange(series.Where(s => s.Key.Station is not null).GroupBy(s => s.Key with { Station = null, Zone = scope == CapabilityScope.Zone ? s.Key.Zone : null })
                .Select(places => (Func<CapabilityLine>)(() => OfPlaces(plan, places.Key, [.. places]))));
        }
        // A series of a thousand builds takes a thousand times as long as one of a few, so each is handed out by itself.
        CapabilityLine[] worked = new CapabilityLine[lines.Count];
        Parallel.For(0, lines.Count, i => worked[i] = lines[i]());
        return new(worked) { Missing = SealsOverBuilds.Missing(plan, [.. all.Select(s => (s.Key, s.Builds))], null, characteristic) };
    }

    /// <summary>What could not be studied and why, a sentence each.</summary>
    public IReadOnlyList<string> Missing { get; init; } = [];

    /// <summary>Lines whose capability is stated and that show a Ppk of 1.33 with 95 % confidence, and all that are stated.</summary>
    public (int Shown, int Stated) Tally => (Lines.Count(l => l.Capability.GoalIsShown), Lines.Count(l => l.Capability.Ppk is not null));

    /// <summary>Of each place the line of its newest mould that has two builds or more.</summary>
    public IReadOnlyList<CapabilityLine> Newest => [.. Lines.Where(l => l.Capability.Count > 1).GroupBy(l => l.Key with { DoorMould = null, SurroundMould = null }).Select(g => g.First())];

    /// <summary>The answer in a few words.</summary>
    public string Headline
    {
        get
        {
            (int shown, int stated) = Tally;
            return Lines.Count == 0 ? "There is nothing to state a capability of"
                : stated == 0 ? "No Ppk can be stated for any place"
                : shown == stated ? Invariant($"Capable: all {stated} places show a Ppk of {ProcessCapability.Goal} with 95 % confidence")
                : Invariant($"Not shown capable: {shown} of {stated} places show a Ppk of {ProcessCapability.Goal} with 95 % confidence");
        }
    }

    /// <summary>The answer in one sentence or two.</summary>
    public string Answer
    {
        get
        {
            int unstable = Lines.Count(l => l.Capability.InControl == false);
            string worst = Lines.Where(l => l.Capability.Ppk is not null).MinBy(l => l.Capability.Ppk) is CapabilityLine w
                ? Invariant($"; the worst is {w.Key.PlaceWords} {w.Key.Characteristic.Words} with Ppk {w.Capability.Ppk:0.00}") : "";
            return $"{Headline}{worst}.{(unstable > 0 ? Invariant($" {unstable} not in control: their figures do not predict.") : "")}";
        }
    }

    /// <summary>True where 0 is a physical bound of a characteristic.</summary>
    internal static bool CannotBeNegative(Characteristic c) =>
        c == Characteristic.Gap || c == Characteristic.StepForward || c == Characteristic.StepAft || c == Characteristic.GapRange || c == Characteristic.LandGap || c == Characteristic.PondDepth || c == Characteristic.ClosingLoad || c == Characteristic.HandleForce;

    private static CapabilityLine OfSeries(FitPlan plan, ValueSeries s)
    {
        LimitRow? row = plan.Limits.For(s.Key.Characteristic, s.Key.Door, s.Key.Zone, s.Key.Station, s.Key.Stage);
        ProcessCapability capability = ProcessCapability.Of(s.Values, row?.Limits, CannotBeNegative(s.Key.Characteristic), s.Builds);
        return new(s.Key, capability, s.Values, s.Builds, row is null ? "the plan gives no limits" : null);
    }

    private static CapabilityLine OfPlaces(FitPlan plan, SeriesKey key, IReadOnlyList<ValueSeries> places)
    {
        List<(ValueSeries Series, LimitRow? Row)> rows = [.. places.Select(p => (p, plan.Limits.For(key.Characteristic, key.Door, p.Key.Zone, p.Key.Station, key.Stage)))];
        Limits? limits = rows[0].Row?.Limits;
        string? note = rows.All(r => r.Row is null) ? "the plan gives no limits" : null;
        Func<(ValueSeries Series, LimitRow? Row), double> zero = _ => 0;
        if (note is null && rows.Any(r => r.Row?.Limits != limits))
        {
            // Different limits can still be pooled as deviations where the bands about the nominal are alike.
            (double? Low, double? High) Band(LimitRow? r) => (Rounded(r?.Limits.Lower - r?.Nominal), Rounded(r?.Limits.Upper - r?.Nominal));
            if (rows.All(r => r.Row?.Nominal is not null && Band(r.Row) == Band(rows[0].Row)))
            {
                zero = r => r.Row!.Nominal!.Value;
                limits = new(Band(rows[0].Row).Low, Band(rows[0].Row).High);
                note = "nominals differ from place to place: values are deviations from nominal";
            }
            else
            {
                limits = null;
                note = "places have different limits: not stated for all together; take them by station";
            }
        }
        var builds = rows.SelectMany(r => r.Series.Builds.Select((b, i) => (Build: b, Value: r.Series.Values[i] - zero(r)))).GroupBy(v => v.Build, v => v.Value).ToDictionary(g => g.Key, g => (IReadOnlyList<double>)[.. g]);
        BuildOrder order = new(plan, builds.Keys);
        string[] names = [.. builds.Keys.OrderBy(order.Place)];
        IReadOnlyList<IReadOnlyList<double>> values = [.. names.Select(b => builds[b])];
        return new(key, ProcessCapability.OfPlaces(values, limits, names, note is null && CannotBeNegative(key.Characteristic)), [.. values.Select(v => v.Average())], names, note);

        static double? Rounded(double? v) => v is double d ? Math.Round(d, 9) : null;
    }
}
