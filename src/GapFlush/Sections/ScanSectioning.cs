using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Registration;
using GapFlush.Scans;

namespace GapFlush.Sections;

/// <summary>From a scan file to gap and flush at every station of a door.</summary>
/// <remarks>
/// <para>Without targets the scan is laid on the plan by its seam and skin (<see cref="CoarseAlignment"/>) and then by the surround alone: its edges and its skin at all stations, robustly. The
/// door is what is being measured and has no say. METHOD.md, eq. 32.</para>
/// <para>Refused: a file that cannot be read, a unit that cannot be right, targets that contradict one another, a scan that fits nowhere, in two ways, mirrored, or another door better.</para>
/// </remarks>
public static class ScanSectioning
{
    private const double LeastLocked = 0.6;

    /// <summary>Reads, registers and cuts.</summary>
    public static Outcome<DoorScan> Run(FitPlan plan, Door door, InputFile scan, ScanRequest request)
    {
        List<string> notices = [];
        double toMm = request.UnitMm ?? (IsE57(scan) ? 1000 : 1);
        ScanSample sample = new();
        Outcome<ScanFacts> read = ScanReader.Read(scan, block => sample.Add(block, toMm));
        if (!read.IsUsable) return Outcome<DoorScan>.Refused(read.Problems, read.Notices);
        notices.AddRange(read.Notices);
        if (request.UnitMm is null && toMm == 1000) notices.Add($"{scan.Name}: the format fixes metres; give --unit where the file departs from it.");
        if (UnitProblem(scan, door, sample, toMm, request.UnitMm is not null) is InputProblem unit) return Refuse(unit);

        StationSlab[] slabs = [.. door.Stations.Select((s, i) => new StationSlab(door, i, Nominal(plan, door, s, Characteristic.Gap, request.Stage) ?? 4, Nominal(plan, door, s, Characteristic.Flush, request.Stage) ?? 0, request.Options))];
        ScanRegistration registration;
        bool refine = false;
        if (request.Aligned)
        {
            registration = new(RigidMotion.None, "none: the scan was said to be in the plan's axes", 0, []);
        }
        else if (request.Targets is ScanTargets targets)
        {
            if (TargetRegistration.Fit([.. targets.Pairs.Select(t => (t.Datum, new Point3(toMm * t.InScan.X, toMm * t.InScan.Y, toMm * t.InScan.Z)))], out string refusal) is not ScanRegistration byTargets)
                return Refuse(new(scan.Name, 0, "", "targets that do not register the scan", "targets that agree with the plan", char.ToUpperInvariant(refusal[0]) + refusal[1..] + "."));
            registration = byTargets;
        }
        else
        {
            (ScanRegistration? found, InputProblem? problem) = Search(plan, door, scan, sample, slabs.Average(s => s.NominalGapMm));
            if (found is null) return Refuse(problem!);
            registration = found;
            refine = true;
        }

        SlabCollector collector = new(slabs, registration.Motion, toMm);
        read = ScanReader.Read(scan, collector.Add);
        if (!read.IsUsable) return Outcome<DoorScan>.Refused(read.Problems, read.Notices);
        if (read.Value.RepeatsPoints) foreach (StationSlab slab in slabs) slab.DropRepeats();
        int seen = slabs.Count(s => s.Count >= 200);
        if (seen == 0)
        {
            return Refuse(new(scan.Name, 0, "", "no points near any station", Invariant($"a scan of door {door.Code}"),
                request.Aligned ? "The scan is not in the plan's axes, or in another unit: leave --aligned out, or give --unit." : "Check that this is the door that was scanned, and the unit."));
        }
        if (seen < slabs.Length) notices.Add(Invariant($"{scan.Name}: {slabs.Length - seen} of {slabs.Length} stations have no points to speak of; they are missing, not judged."));

        RigidMotion? correction = null;
        if (refine)
        {
            // From seam and skin to the surround alone; again, where the first look was off.
            ScanRegistration laid = registration;
            for (int pass = 0; pass < 3; pass++)
            {
                IReadOnlyList<StationSection> first = DoorSections.Take(door, slabs, request.Options, correction, 0, quick: true);
                if (OntoSurround(door, first, correction ?? RigidMotion.None) is not (RigidMotion better, double place, string remark))
                    return Refuse(new(scan.Name, 0, "", Invariant($"{first.Count(s => s.Surround is not null)} stations with a surround that can be cut"), "enough of the surround's edges to hold all six movements", "Scan more of the seam, or register with --targets."));
                RigidMotion correction0 = correction ?? RigidMotion.None;
                correction = better;
                registration = registration with { Motion = better.After(laid.Motion), PlaceUncertaintyMm = place, Remarks = [.. laid.Remarks, remark] };
                if (MovedMm(door, better, correction0) < 0.2) break;
            }
        }
        IReadOnlyList<StationSection> sections = DoorSections.Take(door, slabs, request.Options, correction, registration.PlaceUncertaintyMm);
        foreach (string remark in registration.Remarks) notices.Add($"{scan.Name}: registration: {remark}.");
        return Outcome<DoorScan>.Of(new(door, sections, registration, read.Value, request.Stage), notices);

        Outcome<DoorScan> Refuse(InputProblem problem) => Outcome<DoorScan>.Refused([problem], notices);
    }

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

    private static bool IsE57(InputFile scan)
    {
        using Stream stream = scan.Open();
        byte[] head = new byte[8];
        return stream.ReadAtLeast(head, 8, throwOnEndOfStream: false) == 8 && head.AsSpan().SequenceEqual("ASTM-E57"u8);
    }

    // A scan of a door is about as large as the door: smaller only where part of it was scanned, larger where its surroundings were.
    private static InputProblem? UnitProblem(InputFile scan, Door door, ScanSample sample, double toMm, bool wasGiven)
    {
        double size = Diagonal(sample.Box.X1 - sample.Box.X0, sample.Box.Y1 - sample.Box.Y0, sample.Box.Z1 - sample.Box.Z0);
        Point3[] at = [.. door.Stations.Select(s => s.Position)];
        double expected = Diagonal(at.Max(p => p.X) - at.Min(p => p.X), at.Max(p => p.Y) - at.Min(p => p.Y), at.Max(p => p.Z) - at.Min(p => p.Z));
        double ratio = size / expected;
        if (ratio is > 0.15 and < 12) return null;
        string found = Invariant($"{size / toMm:0.###} across");
        foreach ((string name, double mm) in new[] { ("mm", 1.0), ("in", 25.4), ("m", 1000.0) })
        {
            double other = ratio / toMm * mm;
            if (mm != toMm && other is > 0.5 and < 4)
                return new(scan.Name, 0, "", found, Invariant($"about {expected / toMm:0.###}, the size of door {door.Code}, in the unit {(wasGiven ? "given" : "taken")}"), Invariant($"In {name} it would be {other * expected:0} mm. If that is what it is, give --unit {name}."));
        }
        return new(scan.Name, 0, "", found, Invariant($"about {expected:0} mm, the size of door {door.Code}"), "No usual unit makes it that size; check the file.");

        static double Diagonal(double x, double y, double z) => Math.Sqrt(x * x + y * y + z * z);
    }

    private static (ScanRegistration?, InputProblem?) Search(FitPlan plan, Door door, InputFile scan, ScanSample sample, double gap)
    {
        CoarseAlignment.Pose? best = CoarseAlignment.Find(sample, plan, door, gap, out CoarseAlignment.Pose? second);
        double locked = best?.Locked ?? 0;
        if (locked < 0.85)
        {
            foreach (Door other in plan.Doors.Where(d => d.Code != door.Code))
            {
                if (CoarseAlignment.Find(sample, plan, other, gap, out _) is CoarseAlignment.Pose pose && pose.Locked > locked + 0.2 && pose.Locked > LeastLocked)
                    return (null, new(scan.Name, 0, "", Invariant($"a scan whose seam agrees with door {other.Code} at {100 * pose.Locked:0} % of its stations, and with {door.Code} at {100 * locked:0} %"), Invariant($"a scan of door {door.Code}"), Invariant($"Give --door {other.Code}, or the right scan.")));
            }
            ScanSample mirrored = Mirrored(sample);
            if (CoarseAlignment.Find(mirrored, plan, door, gap, out _) is CoarseAlignment.Pose turned && turned.Locked > locked + 0.2 && turned.Locked > LeastLocked)
                return (null, new(scan.Name, 0, "", Invariant($"a scan whose mirror image agrees with door {door.Code} at {100 * turned.Locked:0} % of its stations, and itself at {100 * locked:0} %"), "a scan of this hand", "It is of the other hand, or an axis of the scan has the wrong sign."));
        }
        if (best is null || locked < LeastLocked)
            return (null, new(scan.Name, 0, "", Invariant($"a scan whose seam agrees with door {door.Code} at {100 * locked:0} % of its stations at best"), "a scan that can be laid on the plan without targets", "Check the door, scan more of the seam, or register with --targets."));
        if (second is not null && second.Locked > 0.9 * best.Locked && second.MissMm < 2 * best.MissMm + 0.3)
            return (null, new(scan.Name, 0, "", "two ways of laying the scan on the plan that are as good as each other", "one", "The scan does not tell which way round the door is; register with --targets."));
        return (new(best.Motion, "seam and skin, then the surround alone", 0, [Invariant($"the seam locks at {100 * best.Locked:0} % of the stations")]), null);
    }

    private static ScanSample Mirrored(ScanSample sample)
    {
        ScanSample mirrored = new();
        Span<double> one = stackalloc double[3];
        for (int i = 0; i < sample.Count; i++)
        {
            Point3 p = sample[i];
            (one[0], one[1], one[2]) = (p.X, -p.Y, p.Z);
            mirrored.Add(one, 1);
        }
        return mirrored;
    }

    // Edge and skin of the surround at every station, drawn onto nominal by a small rigid motion, wrong stations counting less.
    private static (RigidMotion Motion, double PlaceMm, string Remark)? OntoSurround(Door door, IReadOnlyList<StationSection> sections, RigidMotion before)
    {
        Point3 centre = door.Centre;
        List<(double[] J, double Value)> rows = [];
        foreach (StationSection s in sections)
        {
            if (s.SurroundFaceMm is not double face) continue;
            Vector3 arm = s.Station.Position - centre;
            rows.Add((Row(arm, s.Station.Normal), face));
            if (s.SurroundEdgeMm is double edge) rows.Add((Row(arm, s.Station.IntoDoor), edge));
        }
        if (rows.Count < 12) return null;
        double[] x = new double[6];
        double scale = 1, condition = 0;
        double[,] inverse = new double[6, 6];
        for (int pass = 0; pass < 30; pass++)
        {
            double[] left = [.. rows.Select(r => r.Value + Dot(r.J, x))];
            scale = Math.Max(1e-4, RobustWeights.Scale(left));
            double[,] m = new double[6, 6];
            double[] g = new double[6];
            for (int i = 0; i < rows.Count; i++)
            {
                double w = RobustWeights.Of(pass < 5 ? RobustLoss.Huber : RobustLoss.Tukey, left[i], scale);
                for (int a = 0; a < 6; a++)
                {
                    g[a] += w * rows[i].J[a] * left[i];
                    for (int b = 0; b < 6; b++) m[a, b] += w * rows[i].J[a] * rows[i].J[b];
                }
            }
            if (Cholesky.Factor(m) is not double[,] factor) return null;
            inverse = Cholesky.Inverse(factor);
            double[] d = Cholesky.Solve(factor, g);
            for (int a = 0; a < 6; a++) x[a] -= d[a];
            condition = Enumerable.Range(0, 6).Max(a => m[a, a] * inverse[a, a]);
        }
        double place = door.Stations.Max(s => Math.Sqrt(new[] { s.Tangent, s.Normal, s.IntoDoor }.Max(v => Cholesky.Quadratic(inverse, Row(s.Position - centre, v))))) * scale;
        // Weights of a turn by 1000 mm make it comparable with a shift. A variance inflated a hundredfold is a movement that others can take over.
        if (!(condition < 1e4)) return null;
        string remark = Invariant($"{rows.Count} places of the surround, {scale:0.000} mm about nominal; a place on the seam is known to {place:0.000} mm (one sigma); movements hang together by {Math.Sqrt(condition):0.0} (1 is free of one another)");
        Vector3 turn = new(x[3] / 1000, x[4] / 1000, x[5] / 1000);
        return (RigidMotion.About(centre, turn, new(x[0], x[1], x[2])).After(before), place, remark);

        static double[] Row(Vector3 arm, Vector3 direction)
        {
            Vector3 t = arm.Cross(direction) / 1000;
            return [direction.X, direction.Y, direction.Z, t.X, t.Y, t.Z];
        }

        static double Dot(double[] a, double[] b)
        {
            double sum = 0;
            for (int i = 0; i < a.Length; i++) sum += a[i] * b[i];
            return sum;
        }
    }
}
