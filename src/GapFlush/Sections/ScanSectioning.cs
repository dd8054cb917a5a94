using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Registration;
using GapFlush.Scans;

namespace GapFlush.Sections;

/// <summary>From a scan file to gap and flush at every station of a door.</summary>
/// <remarks>
/// <para>Without targets the scan is laid on the plan by its seam (<see cref="CoarseAlignment"/>) and then by the surround alone: its skin all round and its edges at all stations
/// (<see cref="SurroundRegistration"/>). The door is what is being measured and has no say. METHOD.md, eq. 32.</para>
/// <para>Refused: a file that cannot be read, a unit that cannot be right, targets that contradict one another, a scan that fits nowhere, in two ways, mirrored, or another door better.</para>
/// </remarks>
public static class ScanSectioning
{
    private const int LeastPoints = 200;
    private const double SeamMiddleSdMm = 0.5;

    // A pose that puts stations where there is skin and yet no edge at most of them is wrong, however much of the seam seemed to agree. How many that is: a judgement, no source.
    private const double LeastEdges = 0.5;

    // A scan that was put in the wrong place crosses a station or two by chance.
    private const double MostlyBare = 0.9;

    /// <summary>Reads, registers and cuts.</summary>
    public static Outcome<DoorScan> Run(FitPlan plan, Door door, InputFile scan, ScanRequest request) => Run(plan, door, ScanLook.Of(scan, request.UnitMm, request.Aligned), request);

    /// <summary>Registers and cuts a scan that was looked at already, with the same unit.</summary>
    public static Outcome<DoorScan> Run(FitPlan plan, Door door, ScanLook look, ScanRequest request)
    {
        List<string> notices = [];
        (InputFile scan, double toMm, ScanSample sample, StoredPoints? stored, Outcome<ScanFacts> read) = (look.Scan, look.ToMm, look.Sample, look.Stored, look.Read);
        if (!read.IsUsable) return Outcome<DoorScan>.Refused(read.Problems, read.Notices);
        notices.AddRange(read.Notices);
        if (request.UnitMm is null && toMm == 1000) notices.Add($"{scan.Name}: the format fixes metres; give --unit where the file departs from it.");
        if (UnitProblem(scan, door, sample, toMm, request.UnitMm is not null) is InputProblem unit) return Refuse(unit);

        StationSlab[] slabs = [.. door.Stations.Select((s, i) => new StationSlab(door, i, Nominal(plan, door, s, Characteristic.Gap, request.Stage) ?? 4, Nominal(plan, door, s, Characteristic.Flush, request.Stage) ?? 0, request.Options))];
        ScanRegistration registration;
        CoarseAlignment.Pose? pose = null;
        NominalSkin? skin = null;
        if (request.Aligned)
        {
            registration = new(RigidMotion.None, "none: the scan was said to be in the plan's axes", 0, []);
        }
        else if (request.Targets is ScanTargets targets)
        {
            if (TargetRegistration.Fit([.. targets.Pairs.Select(t => (t.Datum, new Point3(toMm * t.InScan.X, toMm * t.InScan.Y, toMm * t.InScan.Z)))], out string refusal) is not ScanRegistration byTargets)
                return Refuse(new(targets.Source, 0, "", "targets that do not register the scan", "targets that agree with the plan", char.ToUpperInvariant(refusal[0]) + refusal[1..] + "."));
            registration = byTargets.At(door);
            if (!(registration.PlaceUncertaintyMm < SurroundRegistration.WeakestMm))
                return Refuse(new(targets.Source, 0, "", Invariant($"targets that hold a place on the seam to {registration.PlaceUncertaintyMm:0.00} mm only: {registration.Remarks[^1]}"), Invariant($"targets that hold it to {SurroundRegistration.WeakestMm} mm"), "Give more targets, spread all round the door, and check the residuals."));
        }
        else
        {
            Task<NominalSkin?> beside = Task.Run(() => NominalSkin.Of(plan, door));
            (pose, InputProblem? problem) = ScanPlacing.Find(plan, door, scan.Name, sample, slabs.Average(s => s.NominalGapMm));
            if (pose is null && read.Value.Points > 1.2 * sample.Count)
            {
                // Skin over and over: what shows a seam in a square metre is too little in six. Read once more, and nearly all of it kept.
                ScanSample dense = new(toMm, look.RepeatsPoints ? read.Value.Points / 6 : read.Value.Points, ScanSample.Dense, look.RepeatsPoints);
                if (ScanReader.Read(scan, dense).IsUsable) (pose, problem) = ScanPlacing.Find(plan, door, scan.Name, dense, slabs.Average(s => s.NominalGapMm));
            }
            if (pose is null) return Refuse(problem!);
            // The skin holds what it can before stations are cut; across and along it the seam's own middle, which a displaced door moves, must do for now.
            RigidMotion start = pose.Motion;
            skin = beside.Result;
            if (SurroundRegistration.Fit(door, [.. door.Stations.Select(s => new SurroundRegistration.Sighting(s, 0, null))], skin, sample, start, SeamMiddleSdMm) is SurroundRegistration onSkin) start = onSkin.Correction.After(start);
            registration = new(start, "seam, then the surround alone", 0, [Invariant($"the seam agrees at {100 * pose.Locked:0} % of what is seen of it, within {pose.MissMm:0.00} mm")]);
        }

        read = Collect(scan, stored, slabs, registration.Motion, toMm, read);
        if (!read.IsUsable) return Outcome<DoorScan>.Refused(read.Problems, read.Notices);
        if (read.Value.RepeatsPoints) foreach (StationSlab slab in slabs) slab.DropRepeats();
        StationSlab[] bare = [.. slabs.Where(s => s.Count < LeastPoints)];
        if (bare.Length == slabs.Length)
        {
            return Refuse(new(scan.Name, 0, "", "no points near any station", Invariant($"a scan of door {door.Code}"),
                Elsewhere(plan, door, sample, registration.Motion) is Door other ? $"The scan lies at door {other.Code}: give --door {other.Code}, or the scan of door {door.Code}{(request.Aligned ? "" : " with its own targets")}."
                : request.Aligned ? "The scan is not in the plan's axes, or in another unit: leave --aligned out, or give --unit." : "Check that this is the door that was scanned, and the unit."));
        }
        if (bare.Length > 0)
            notices.Add(Invariant($"{scan.Name}: {Share(bare.Length, slabs.Length)}{bare.Length} of {slabs.Length} stations have no points to speak of ({Names(bare)}); they are missing, not judged."));
        if (slabs.Max(s => s.Thinning) is > 1 and int thinning)
            notices.Add(Invariant($"{scan.Name}: near {slabs.Count(s => s.Thinning > 1)} stations there are more points than a station has room for; one in {thinning} was kept at the densest, whatever their order."));

        RigidMotion? correction = null;
        if (pose is null) return Done(DoorSections.Take(door, slabs, request.Options, null, registration.PlaceUncertaintyMm));
        ScanRegistration laid = registration;
        for (int pass = 0; ; pass++)
        {
            // With the registration's share for a place known to a millimetre; what it is known to comes out of these very sections.
            IReadOnlyList<StationSection> sections = DoorSections.Take(door, slabs, request.Options, correction, 1);
            RigidMotion before = correction ?? RigidMotion.None;
            int edges = sections.Count(s => s.SurroundEdgeMm is not null);
            if (edges < LeastEdges * pose.Seen * slabs.Length)
                return Refuse(new(scan.Name, 0, "", Invariant($"the surround's edge at {edges} of {slabs.Length} stations, with skin at {100 * pose.Seen:0} % of the seam"), "an edge where the seam that shows puts the stations", "The scan may be laid wrongly, so nothing is stated: register with --targets, or scan the seam more closely."));
            if (SurroundRegistration.Fit(door, [.. sections.Select(s => new SurroundRegistration.Sighting(s.Station, s.SurroundEdgeMm, s.SurroundFaceMm))], skin, sample, before.After(laid.Motion)) is not SurroundRegistration held)
                return Refuse(new(scan.Name, 0, "", Invariant($"{sections.Count(s => s.SurroundEdgeMm is not null)} stations with a surround that can be cut{ScanPlacing.Part(pose)}"), "enough of the surround's edges to hold all six movements", "Scan more of the seam, or register with --targets."));
            if (!(held.PlaceUncertaintyMm < SurroundRegistration.WeakestMm))
                return Refuse(new(scan.Name, 0, "", Invariant($"a scan that holds a place on the seam to {held.PlaceUncertaintyMm:0.00} mm only, its weakest movement the {held.Weakest}{ScanPlacing.Part(pose)}"), Invariant($"one that holds it to {SurroundRegistration.WeakestMm} mm"), "Scan more of the seam, or register with --targets."));
            correction = held.Correction.After(before);
            registration = registration with { Motion = correction.Value.After(laid.Motion), PlaceUncertaintyMm = held.PlaceUncertaintyMm, Uncertainty = held.Uncertainty, Remarks = [.. laid.Remarks, held.Remark] };
            if (pass == 2 || MovedMm(door, held.Correction, RigidMotion.None) < SectionShift.FarthestMm)
                return Done([.. sections.Select(s => SectionShift.Of(s, held.Correction, held.PlaceUncertaintyMm))]);
        }

        Outcome<DoorScan> Done(IReadOnlyList<StationSection> sections)
        {
            if (bare.Length >= MostlyBare * slabs.Length && sections.All(s => s.GapMm is null && s.FlushMm is null))
            {
                return Refuse(new(scan.Name, 0, "", Invariant($"points near {slabs.Length - bare.Length} of {slabs.Length} stations only, and none that can be cut"), Invariant($"a scan of door {door.Code} that lies where its {(request.Aligned ? "axes put it" : "targets put it")}"),
                    $"Check that the scan is of this door, whole and not mirrored, and that {(request.Aligned ? "it is in the plan's axes" : "the targets were found in this very scan")}."));
            }
            if (sections.Any(s => s.GapBudget.Concat(s.FlushBudget).Any(c => c.Source == DoorSections.AssumedPassesComponent)))
                notices.Add(Invariant($"{scan.Name}: too few stations to tell whether the scanner's passes agree; {PassDisagreement.UsualMm} mm is counted for it, as is usual (common practice, no source)."));
            foreach (string remark in registration.Remarks) notices.Add($"{scan.Name}: registration: {remark}.");
            if (registration.Uncertainty is MotionUncertainty lies)
                sections = [.. sections.Select(s => s with { SideUncertainty = s.SideUncertainty?.With(lies.At(s.Station.Position, s.Station.IntoDoor), lies.At(s.Station.Position, s.Station.Normal)) })];
            return Outcome<DoorScan>.Of(new(door, sections, registration, read.Value, request.Stage) { Source = scan.Name, ScannerIsKnown = request.Options.Scanner is not null }, notices);
        }

        Outcome<DoorScan> Refuse(InputProblem problem) => Outcome<DoorScan>.Refused([problem], notices);
    }

    private static Outcome<ScanFacts> Collect(InputFile scan, StoredPoints? stored, StationSlab[] slabs, RigidMotion motion, double toMm, Outcome<ScanFacts> read)
    {
        if (stored is not { IsWhole: true }) return ScanReader.Read(scan, new SlabCollector(slabs, motion, toMm));
        stored.Replay(new SlabCollector(slabs, motion, 1));
        return read;
    }

    private static string Share(int bare, int all) => bare switch
    {
        _ when bare >= 0.75 * all => "most of the door is missing from the scan: ",
        _ when bare >= 0.4 * all => "about half of the door is missing from the scan: ",
        _ when bare >= 0.2 * all => "part of the door is missing from the scan: ",
        _ => "",
    };

    private static string Names(StationSlab[] slabs) => string.Join(", ", slabs.Take(12).Select(s => s.Station.Name)) + (slabs.Length > 12 ? ", ..." : "");

    /// <summary>The nominal value of a station, from the most specific limit; where a plan has it by stage alone and none is asked for, the mean over stages.</summary>
    internal static double? Nominal(FitPlan plan, Door door, Station station, Characteristic characteristic, string? stage)
    {
        if (Of(stage) is double exact) return exact;
        double[] staged = [.. plan.Stages.Select(s => Of(s.Name)).OfType<double>()];
        return staged.Length > 0 ? staged.Average() : null;

        double? Of(string? at)
        {
            LimitRow? row = plan.Limits.For(characteristic, door.Code, station.Zone, station.Name, at);
            return row?.Nominal ?? (row?.Limits is { Lower: double low, Upper: double high } ? (low + high) / 2 : null);
        }
    }

    private static double MovedMm(Door door, RigidMotion a, RigidMotion b) => door.Stations.Max(s => a.Of(s.Position).DistanceTo(b.Of(s.Position)));

    // The other door that a registered scan lies at, or null.
    private static Door? Elsewhere(FitPlan plan, Door door, ScanSample sample, RigidMotion motion)
    {
        const double NearMm = 15;
        const int Most = 20_000, Enough = 50;
        Point3[] some = [.. Enumerable.Range(0, Math.Min(sample.Count, Most)).Select(i => motion.Of(sample[(int)((long)i * sample.Count / Math.Min(sample.Count, Most))]))];
        (Door Door, int Near)[] others = [.. plan.Doors.Where(d => d.Code != door.Code).Select(d => (d, some.Count(p => d.Stations.Any(s => s.Position.DistanceTo(p) < NearMm))))];
        return others.Length == 0 ? null : others.MaxBy(o => o.Near) is (Door Door, int Near) best && best.Near >= Enough ? best.Door : null;
    }

    // A scan of a door is about as large as the door: smaller only where part of it was scanned, larger where its surroundings were.
    private static InputProblem? UnitProblem(InputFile scan, Door door, ScanSample sample, double toMm, bool wasGiven)
    {
        (double x0, double y0, double z0, double x1, double y1, double z1) = sample.Box;
        double size = Diagonal(x1 - x0, y1 - y0, z1 - z0);
        Point3[] at = [.. door.Stations.Select(s => s.Position)];
        double expected = Diagonal(at.Max(p => p.X) - at.Min(p => p.X), at.Max(p => p.Y) - at.Min(p => p.Y), at.Max(p => p.Z) - at.Min(p => p.Z));
        double ratio = size / expected;
        if (ratio is > 0.15 and < 12) return null;
        string found = Invariant($"{size / toMm:0.###} across");
        foreach ((string word, string name, double mm) in new[] { ("millimetres", "mm", 1.0), ("inches", "in", 25.4), ("metres", "m", 1000.0) })
        {
            double other = ratio / toMm * mm;
            if (mm != toMm && other is > 0.5 and < 4)
                return new(scan.Name, 0, "", found, Invariant($"about {expected / toMm:0.###}, the size of door {door.Code}, in the unit {(wasGiven ? "given" : "taken")}"), Invariant($"In {word} it would be {other * expected:0} mm. If that is what it is, give --unit {name}."));
        }
        return new(scan.Name, 0, "", found, Invariant($"about {expected:0} mm, the size of door {door.Code}"), "No usual unit makes it that size; check the file.");

        static double Diagonal(double x, double y, double z) => Math.Sqrt(x * x + y * y + z * z);
    }
}
