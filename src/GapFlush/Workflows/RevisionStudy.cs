using GapFlush.Capability;
using GapFlush.Hanging;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Revisions;
using GapFlush.Statistics;

namespace GapFlush.Workflows;

/// <summary>What did a mould revision change? One door, one revision against another.</summary>
/// <remarks>Sign: later less earlier. Only builds whose other part comes from one revision are compared; the rest are listed with the reason.</remarks>
public sealed record RevisionStudy
{
    /// <summary>The door.</summary>
    public required Door Door { get; init; }

    /// <summary>True where the door mould changed, false where the surround mould did.</summary>
    public required bool IsDoorMould { get; init; }

    /// <summary>Earlier revision.</summary>
    public required string From { get; init; }

    /// <summary>Later revision.</summary>
    public required string To { get; init; }

    /// <summary>The stage compared, or null.</summary>
    public required string? Stage { get; init; }

    /// <summary>Builds of the earlier revision.</summary>
    public required IReadOnlyList<string> FromBuilds { get; init; }

    /// <summary>Builds of the later revision.</summary>
    public required IReadOnlyList<string> ToBuilds { get; init; }

    /// <summary>Smallest difference that matters, mm.</summary>
    public required double MattersMm { get; init; }

    /// <summary>Every station and characteristic as hung, in plan order.</summary>
    public required IReadOnlyList<StationChange> Changes { get; init; }

    /// <summary>The same with each build's own rigid movement taken out: local shape. Empty where that cannot be told.</summary>
    public required IReadOnlyList<StationChange> Shapes { get; init; }

    /// <summary>What the change means for derived values that the plan limits: seal compression, gap range and taper, twist, closing load.</summary>
    public required IReadOnlyList<DerivedChange> Derived { get; init; }

    /// <summary>Derived values proven to have changed.</summary>
    public IReadOnlyList<DerivedChange> DerivedChanged => [.. Derived.Where(d => d.Verdict == ChangeVerdict.Changed)];

    /// <summary>What is said of derived values, in a sentence; null where none were compared.</summary>
    public string? DerivedWords
    {
        get
        {
            if (Derived.Count == 0) return null;
            DerivedChange[] changed = [.. DerivedChanged];
            if (changed.Length == 0) return $"No change of {string.Join(", ", Derived.Select(d => d.Characteristic.Words).Distinct())} is proven.";
            return string.Join(" ", changed.GroupBy(d => d.Characteristic).Select(g =>
            {
                DerivedChange most = g.MaxBy(d => Math.Abs(d.Difference))!;
                string count = Derived.Count(d => d.Characteristic == g.Key) is var of && of > 1 ? Invariant($" at {g.Count()} of {of} places, most at {most.PlaceWords}") : "";
                return Invariant($"{char.ToUpperInvariant(g.Key.Words[0])}{g.Key.Words[1..]} changed{count}: {most.Difference:+0.0#;-0.0#} {g.Key.Unit} (95 % interval {most.Interval95.Low:+0.0#;-0.0#} to {most.Interval95.High:+0.0#;-0.0#}).");
            }));
        }
    }

    /// <summary>The six rigid movements; empty where they cannot be told.</summary>
    public required IReadOnlyList<FieldPart> Rigid { get; init; }

    /// <summary>All six movements together; null with too few builds.</summary>
    public required Hotelling? RigidTogether { get; init; }

    /// <summary>Size: wider gap all round, mm; null where it cannot be told.</summary>
    public required FieldPart? Size { get; init; }

    /// <summary>Waves of the remaining shape; empty where they cannot be told.</summary>
    public required IReadOnlyList<FieldPart> Waves { get; init; }

    /// <summary>What the toolmaker is to do, only where a change is proven.</summary>
    public required IReadOnlyList<ToolCorrection> Corrections { get; init; }

    /// <summary>Wear with pull number; empty without pull numbers.</summary>
    public required IReadOnlyList<MouldWear> Wear { get; init; }

    /// <summary>What is said of wear, in a sentence.</summary>
    public string WearWords => !IsDoorMould ? "Not told: builds.csv counts the pulls of the door mould, and here the surround mould changed."
        : Wear.Count == 0 ? "Not told: builds.csv gives too few pull numbers for these builds."
        : Wear.All(w => !(w.AdjustedProbability < 0.05)) ? "No drift with pull number is proven within either revision." : "A drift with pull number is proven, false discoveries held to 5 %.";

    /// <summary>Builds left out.</summary>
    public required IReadOnlyList<ExcludedBuild> Excluded { get; init; }

    /// <summary>What could not be compared although the builds were, a sentence each: which builds, what, and why.</summary>
    public required IReadOnlyList<string> Missing { get; init; }

    /// <summary>Proven changes: as hung, and of shape where the same place as hung is not proven.</summary>
    public IReadOnlyList<StationChange> Changed
    {
        get
        {
            StationChange[] hung = [.. Changes.Where(c => c.Verdict == ChangeVerdict.Changed)];
            HashSet<(string, Characteristic)> places = [.. hung.Select(c => (c.Station.Name, c.Characteristic))];
            return [.. hung, .. Shapes.Where(c => c.Verdict == ChangeVerdict.Changed && !places.Contains((c.Station.Name, c.Characteristic)))];
        }
    }

    /// <summary>The answer in a few words.</summary>
    public string Headline
    {
        get
        {
            string part = IsDoorMould ? "door mould" : "surround mould";
            if (Changed.Count == 0 && DerivedChanged.Count > 0) return Invariant($"Yes: {part} {To} differs from {From} on {Door.Code}, not in gap or flush at any one place but in {string.Join(", ", DerivedChanged.Select(d => d.Characteristic.Words).Distinct())}");
            return Changed.Count == 0 ? $"No change is proven between {part} {From} and {To} of {Door.Code}" : Invariant($"Yes: {part} {To} differs from {From} on {Door.Code} at {Changed.Count} of {Changes.Count} places");
        }
    }

    /// <summary>The answer in one sentence.</summary>
    public string Answer
    {
        get
        {
            string builds = Invariant($"({FromBuilds.Count} builds against {ToBuilds.Count})");
            if (Changed.Count == 0)
            {
                int alike = Changes.Count(c => c.Verdict == ChangeVerdict.Alike);
                return Headline + Invariant($" {builds}; at {alike} of {Changes.Count} places it is proven to be below {MattersMm:0.00} mm.");
            }
            StationChange most = Changed.MaxBy(c => Math.Abs(c.DifferenceMm))!;
            FieldPart[] moved = [.. Rigid.Where(r => r.IsProven)];
            StationChange? local = Shapes.Where(c => c.Verdict == ChangeVerdict.Changed).MaxBy(c => Math.Abs(c.DifferenceMm));
            string shape = local is null ? "" : Invariant($"; its shape changed at {Shapes.Count(c => c.Verdict == ChangeVerdict.Changed)} places, most at station {local.Station.Name} in zone {local.Station.Zone} ({local.Characteristic.Words} {local.DifferenceMm:+0.00;-0.00} mm)");
            string rigid = RigidTogether is { Probability: < 0.05 }
                ? $"; part of it is a movement of the whole door{(moved.Length > 0 ? $" ({string.Join(", ", moved.Select(m => Invariant($"{m.Name} {m.Difference:+0.00;-0.00} {m.Unit}")))})" : "")}"
                : "; no movement of the whole door is proven";
            return Headline + Invariant($" {builds}, most at station {most.Station.Name}{(most.IsShape ? ", hanging taken out" : "")} ({most.Characteristic.Words} {most.DifferenceMm:+0.00;-0.00} mm, 95 % interval {most.Interval95.Low:+0.00;-0.00} to {most.Interval95.High:+0.00;-0.00})") + rigid + shape + ".";
        }
    }

    /// <summary>Compares two revisions.</summary>
    /// <param name="plan">The plan; its build list says which revision made what.</param>
    /// <param name="measurements">Measurements at plan conditions of many builds.</param>
    /// <param name="doorCode">The door.</param>
    /// <param name="from">Earlier revision; null for the one before <paramref name="to"/>.</param>
    /// <param name="to">Later revision; null for the newest.</param>
    /// <param name="stage">Stage; null for the one with most values.</param>
    /// <param name="mattersMm">Smallest difference that matters, mm, positive.</param>
    /// <param name="leftOut">What was left out of the measurements before, to be listed with the rest.</param>
    public static Outcome<RevisionStudy> Run(FitPlan plan, IReadOnlyList<Measurement> measurements, string doorCode, string? from = null, string? to = null, string? stage = null, double mattersMm = 0.2, IReadOnlyList<ExcludedBuild>? leftOut = null)
    {
        if (plan.FindDoor(doorCode) is not Door door) return Refused("--door", doorCode, "a door of the plan", NearestName.Remedy(doorCode, [.. plan.Doors.Select(d => d.Code)]));
        Measurement[] ofDoor = [.. measurements.Where(m => m.Door == doorCode && m.Station is not null && m.Value is not null && (m.Characteristic == Characteristic.Gap || m.Characteristic == Characteristic.Flush))];
        stage ??= ofDoor.GroupBy(m => m.Stage).OrderByDescending(g => g.Count()).FirstOrDefault()?.Key;
        ofDoor = [.. ofDoor.Where(m => m.Stage == stage)];
        Outcome<RevisionBuilds> chosen = RevisionBuilds.Choose(plan, doorCode, from, to, stage, [.. ofDoor.Select(m => m.Build)], leftOut ?? []);
        if (!chosen.IsUsable) return Outcome<RevisionStudy>.Refused(chosen.Problems);
        (bool isDoor, from, to, string[] fromBuilds, string[] toBuilds, IReadOnlyDictionary<string, BuildEntry> used, IReadOnlyList<ExcludedBuild> excluded) = chosen.Value;

        ILookup<(string, Characteristic), Measurement> byPlace = ofDoor.Where(m => used.ContainsKey(m.Build)).ToLookup(m => (m.Station!, m.Characteristic));
        List<(Station Station, Characteristic Characteristic, TwoSampleComparison Comparison)> compared = [];
        List<(Station Station, Characteristic Characteristic, string Mould, LeastSquares Line)> lines = [];
        foreach (Characteristic characteristic in (Characteristic[])[Characteristic.Gap, Characteristic.Flush])
        {
            foreach (Station station in door.Stations)
            {
                Dictionary<string, double> values = byPlace[(station.Name, characteristic)].GroupBy(m => m.Build).ToDictionary(g => g.Key, g => g.Average(m => m.Value!.Value));
                double[] Of(string[] builds) => [.. builds.Where(values.ContainsKey).Select(b => values[b])];
                (double[] early, double[] late) = (Of(fromBuilds), Of(toBuilds));
                if (early.Length >= 2 && late.Length >= 2 && new TwoSampleComparison(late, early) is { WelchStandardError: > 0 } comparison) compared.Add((station, characteristic, comparison));
                foreach ((string mould, string[] builds) in new[] { (from, fromBuilds), (to, toBuilds) })
                {
                    (double Pull, double Value)[] pulls = [.. builds.Where(b => values.ContainsKey(b) && used[b].DoorPull is not null).Select(b => ((double)used[b].DoorPull!.Value, values[b]))];
                    if (isDoor && pulls.Length >= 4 && LeastSquares.Line([.. pulls.Select(p => p.Pull)], [.. pulls.Select(p => p.Value)]) is { ResidualSumOfSquares: > 0 } line) lines.Add((station, characteristic, mould, line));
                }
            }
        }
        Dictionary<string, DoorField> fields = [];
        foreach (IGrouping<string, Measurement> build in ofDoor.Where(m => used.ContainsKey(m.Build)).GroupBy(m => m.Build))
        {
            DoorField? field = DoorField.Of(door, [.. build.Select(m => (door.Find(m.Station!), m)).Where(p => p.Item1 is not null).Select(p =>
                (p.Item1!, p.m.Characteristic, p.m.Value!.Value - (DisplacementFits.Target(plan.Limits.For(p.m.Characteristic, doorCode, p.Item1!.Zone, p.Item1.Name, stage)) ?? 0)))]);
            if (field is not null) fields[build.Key] = field;
        }
        List<(Station Station, Characteristic Characteristic, TwoSampleComparison Comparison)> shapes = [];
        foreach (Characteristic characteristic in (Characteristic[])[Characteristic.Gap, Characteristic.Flush])
        {
            foreach (Station station in door.Stations)
            {
                double[] Of(string[] builds) => [.. builds.Where(b => fields.TryGetValue(b, out DoorField? f) && f.ShapeMm.ContainsKey((station.Name, characteristic))).Select(b => fields[b].ShapeMm[(station.Name, characteristic)])];
                (double[] early, double[] late) = (Of(fromBuilds), Of(toBuilds));
                if (early.Length >= 2 && late.Length >= 2 && new TwoSampleComparison(late, early) is { WelchStandardError: > 0 } comparison) shapes.Add((station, characteristic, comparison));
            }
        }
        IReadOnlyList<DerivedOfRevisions.Raw> derived = DerivedOfRevisions.Of(plan, door, stage, measurements, fromBuilds, toBuilds, mattersMm);
        double[] adjusted = MultipleTesting.BenjaminiHochberg([.. compared.Concat(shapes).Select(c => c.Comparison.WelchProbability), .. derived.Select(d => d.Comparison.WelchProbability)]);
        StationChange[] all = [.. compared.Concat(shapes).Select((c, i) => new StationChange(c.Station, c.Characteristic, i >= compared.Count, c.Comparison, adjusted[i], c.Comparison.WelchEquivalence(mattersMm)))];
        StationChange[] changes = all[..compared.Count], shapeChanges = all[compared.Count..];
        double[] wearAdjusted = MultipleTesting.BenjaminiHochberg([.. lines.Select(l => l.Line.CoefficientProbability(1))]);
        MouldWear[] wear = [.. lines.Select((l, i) =>
        {
            Interval interval = l.Line.CoefficientInterval(1);
            return new MouldWear(l.Station, l.Characteristic, l.Mould, 100 * l.Line.Coefficients[1], new(100 * interval.Low, 100 * interval.High), wearAdjusted[i]);
        })];

        DoorField[] early2 = [.. fromBuilds.Where(fields.ContainsKey).Select(b => fields[b])], late2 = [.. toBuilds.Where(fields.ContainsKey).Select(b => fields[b])];
        bool told = early2.Length >= 2 && late2.Length >= 2;
        FieldPart Part(string name, string unit, Func<DoorField, double> of) => new(name, unit, new([.. late2.Select(of)], [.. early2.Select(of)]));
        RevisionStudy study = new()
        {
            Door = door,
            IsDoorMould = isDoor,
            From = from,
            To = to,
            Stage = stage,
            FromBuilds = fromBuilds,
            ToBuilds = toBuilds,
            MattersMm = mattersMm,
            Changes = changes,
            Shapes = shapeChanges,
            Derived = [.. derived.Select((d, i) => new DerivedChange(d.Zone, d.Station, d.Characteristic, d.Comparison, adjusted[compared.Count + shapes.Count + i], d.Matters is double m ? d.Comparison.WelchEquivalence(m) : null))],
            Rigid = told ? [.. Enumerable.Range(0, 6).Select(i => Part(i < 3 ? $"shift along {"xyz"[i]}" : $"turn about {"xyz"[i - 3]}", i < 3 ? "mm" : "mrad", f => f.Rigid[i]))] : [],
            RigidTogether = told ? Hotelling.Between([.. late2.Select(f => f.Rigid)], [.. early2.Select(f => f.Rigid)]) : null,
            Size = told ? Part("gap wider all round", "mm", f => f.SizeMm) : null,
            Waves = told ? [.. DoorField.WaveNames.Select((name, i) => Part(name, "mm", f => f.WaveMm[i]))] : [],
            Corrections = [],
            Wear = wear,
            Excluded = excluded,
            Missing = RevisionGaps.Of(plan, door, stage, measurements, chosen.Value, [.. fields.Keys]),
        };
        ILookup<(string, Characteristic), double> lateValues = ofDoor.Where(m => toBuilds.Contains(m.Build)).ToLookup(m => (m.Station!, m.Characteristic), m => m.Value!.Value);
        return Outcome<RevisionStudy>.Of(study with { Corrections = [.. study.Changed.Select(c => Correct(plan, door, stage, isDoor, c, [.. lateValues[(c.Station.Name, c.Characteristic)]]))] });
    }

    private static ToolCorrection Correct(FitPlan plan, Door door, string? stage, bool isDoor, StationChange c, double[] lateValues)
    {
        double correction = -c.DifferenceMm, size = Math.Abs(correction);
        string what = c.Characteristic == Characteristic.Gap
            ? (isDoor ? "door edge" : "opening edge") + (correction < 0 ? " out into the gap: build up" : " back from the gap: take off")
            : isDoor ? (correction < 0 ? "door face inward" : "door face outward") : (correction < 0 ? "surround face outward" : "surround face inward");
        Limits? limits = plan.Limits.For(c.Characteristic, door.Code, c.Station.Zone, c.Station.Name, stage)?.Limits;
        SampleSummary later = new(lateValues);
        double? Ppk(double move) => limits is not null && later.Sd > 0 ? new CapabilityIndices(later.Count, later.Mean + move, later.Sd, limits).Ppk : null;
        return new(c, correction, Invariant($"move the {what} by {size:0.00} mm"), Ppk(0), Ppk(correction));
    }

    private static Outcome<RevisionStudy> Refused(string option, string found, string expected, string remedy) =>
        Outcome<RevisionStudy>.Refused([new InputProblem(option, 0, "", found, expected, remedy)]);
}
