using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Numerics;
using GapFlush.Plan;
using GapFlush.Registration;
using GapFlush.Scans;

namespace GapFlush.Sections;

/// <summary>From probed points to gap and flush at every station of a door.</summary>
/// <remarks>
/// <para>Touches are registered by targets, or taken to be in the plan's axes. Each side of each station is fitted by <see cref="ProbedSide"/>; gap and flush are those of the fitted outlines
/// under the door's definitions, and their uncertainty holds all that few touches leave open: slope of the skin, edge radius, draft. Where it grows too large the value is missing, and the
/// reason names what was not touched. METHOD.md, eq. 33 to 37.</para>
/// <para>The uncertainty of a touch is that of the plan's arm or tracker (gauges.csv). Touches that fit worse than that widen it. Without such a gauge the values have no stated uncertainty,
/// because none is invented.</para>
/// </remarks>
public static class ProbedSectioning
{
    // A touch farther than this from its station is of another station, in another unit or in other axes. Common practice, no source.
    private const double FarMm = 60;
    // Common practice, no source: a touch of a hand-held arm where nothing better is known; used to weigh touches, not to state an uncertainty.
    private const double UsualSigmaMm = 0.03;
    // Skins follow nominal within half a degree, seams run true within 4 mm a metre, and a moulded skin keeps its curvature within that of a 2 m radius. Common practice, no source.
    private const double TurnSd = 0.008, AlongSd = 0.004, CurvatureSd = 0.0005, UnknownCurvatureSd = 0.003;
    // Moulded edges: from sharp to three millimetres. Common practice, no source.
    private static readonly (double Value, double Sd) UsualRadius = (1.5, 1);
    // Half of them opposite to the other half: the mean error is exact for what is straight, and the spread is known to 6 %.
    private const int Draws = 256;
    private const double SkinReachMm = 200, LeastChance = 0.001;

    /// <summary>Registers and sections the touches of one door of one build.</summary>
    public static Outcome<DoorScan> Run(FitPlan plan, Door door, string build, ProbedLog log, ScanRequest request)
    {
        List<string> notices = [];
        double toMm = request.UnitMm ?? 1;
        ProbedPoint[] all = [.. log.Points.Where(p => p.Build == build && p.Door == door.Code)], points = [.. all.Where(p => p.Stage is null || request.Stage is null || p.Stage == request.Stage)];
        if (points.Length < all.Length) notices.Add(Invariant($"{log.Source}: {all.Length - points.Length} touches of another stage than {request.Stage} are left aside."));
        if (points.Length == 0) return Refuse(new(log.Source, 0, "door", "no touches", $"touches of door {door.Code} of build {build}", log.Builds.Contains(build) ? "Check the door and the stage." : NearestName.Remedy(build, log.Builds)));
        ScanRegistration registration = new(RigidMotion.None, "none: the touches are in the plan's axes", 0, []);
        if (request.Targets is ScanTargets targets)
        {
            if (TargetRegistration.Fit([.. targets.Pairs.Select(t => (t.Datum, Scaled(t.InScan)))], out string refusal) is not ScanRegistration byTargets)
                return Refuse(new(targets.Source, 0, "", "targets that do not register the touches", "targets that agree with the plan", char.ToUpperInvariant(refusal[0]) + refusal[1..] + "."));
            registration = byTargets.At(door);
            notices.AddRange(registration.Remarks.Select(r => $"{log.Source}: registration: {r}."));
        }
        else if (!request.Aligned)
        {
            notices.Add($"{log.Source}: the touches are taken to be in the plan's axes; give --targets where they are not.");
        }
        Dictionary<ProbedPoint, Point3> places = points.ToDictionary(p => p, p => registration.Motion.Of(Scaled(p.Centre)), ReferenceEqualityComparer.Instance as IEqualityComparer<ProbedPoint>);
        InputProblem[] far =
        [
            .. points.Where(p => !(places[p].DistanceTo(p.Station.Position) <= FarMm)).Select(p => new InputProblem(log.Source, p.Line, "station", p.Station.Name,
                Invariant($"a touch within {FarMm:0} mm of its station; this one lies {places[p].DistanceTo(p.Station.Position):0} mm away"), "Check the station, the unit and the axes; touches in the arm's own axes need --targets.")),
        ];
        if (far.Length > 0) return Outcome<DoorScan>.Refused([.. far.Take(20)], notices);

        (string Name, double StandardUncertaintyMm)? gauge = SectionOptions.ProbeOf(plan);
        Site[] sites = [.. door.Stations.Select((s, i) => new Site(plan, door, i, request.Stage, [.. points.Where(p => p.Station == s).Select(p => (p, places[p]))], toMm))];
        double sigma = gauge?.StandardUncertaintyMm ?? UsualSigmaMm;
        foreach (Site site in sites) site.Fit(sigma);
        ProbedSide[] fitted = [.. sites.SelectMany(s => (ProbedSide?[])[s.Surround, s.DoorSide]).OfType<ProbedSide>()];
        (double chi, int touches) = (fitted.Sum(f => f.ChiSquare), fitted.Sum(f => f.Touches));
        if (touches > 0 && ChiSquareDistribution.UpperTail(chi, touches) < LeastChance)
        {
            double wider = sigma * Math.Sqrt(chi / touches);
            notices.Add(Invariant($"{log.Source}: the touches fit to {wider:0.000} mm, not to the {sigma:0.000} mm of {(gauge is null ? "a usual arm" : gauge.Value.Name)}; the larger figure is used."));
            sigma = wider;
            foreach (Site site in sites) site.Fit(sigma);
        }
        if (gauge is null) notices.Add($"{log.Source}: gauges.csv names no arm, tracker or probe with an uncertainty, so that of the values is not known.");
        StationSection[] sections = [.. sites.AsParallel().AsOrdered().Select(s => s.Section(request.Options, registration.PlaceUncertaintyMm, gauge is null ? null : $"touches with {gauge.Value.Name}, and what they leave open", sigma))];
        return Outcome<DoorScan>.Of(new(door, sections, registration, new("probed points", points.Length, 0, false, false, []), request.Stage) { Source = log.Source }, notices);

        Outcome<DoorScan> Refuse(InputProblem problem) => Outcome<DoorScan>.Refused([problem], notices);

        Point3 Scaled(Point3 p) => new(toMm * p.X, toMm * p.Y, toMm * p.Z);
    }

    /// <summary>Curvature of the nominal skin across the seam, from the plan's skin points near a station; null where there are too few.</summary>
    internal static double? NominalCurvature(FitPlan plan, Station station)
    {
        // The normal leans towards +u by k u, and by something along the seam; c takes up what the station's own normal is off.
        double[,] a = new double[3, 3];
        double[] b = new double[3];
        int count = 0;
        foreach (SkinPoint skin in plan.Skin)
        {
            Vector3 off = skin.Position - station.Position;
            if (off.Length > SkinReachMm || skin.Normal.Dot(station.Normal) < 0.7) continue;
            double[] row = [off.Dot(station.IntoDoor) / 100, off.Dot(station.Tangent) / 100, 1];
            double lean = skin.Normal.Dot(station.IntoDoor) / skin.Normal.Dot(station.Normal);
            count++;
            for (int i = 0; i < 3; i++)
            {
                b[i] += row[i] * lean;
                for (int j = 0; j < 3; j++) a[i, j] += row[i] * row[j];
            }
        }
        return count >= 6 && Cholesky.Factor(a) is double[,] factor ? Cholesky.Solve(factor, b)[0] / 100 : null;
    }

    // One station: its touches, both sides, and what they say.
    private sealed class Site
    {
        private readonly Door _door;
        private readonly Station _station;
        private readonly double _nominalGap, _nominalFlush, _curvature;
        private readonly (double Value, double Sd)[] _surroundExpected, _doorExpected;
        private readonly (double S, double U, double V, double Ball, bool IsEdge, bool IsDoor)[] _touches;

        public Site(FitPlan plan, Door door, int index, string? stage, (ProbedPoint Point, Point3 At)[] touches, double toMm)
        {
            (_door, _station) = (door, door.Stations[index]);
            _nominalGap = ScanSectioning.Nominal(plan, door, _station, Characteristic.Gap, stage) ?? 4;
            _nominalFlush = ScanSectioning.Nominal(plan, door, _station, Characteristic.Flush, stage) ?? 0;
            double? nominal = touches.Length == 0 ? null : NominalCurvature(plan, _station);
            _curvature = nominal ?? 0;
            SeamFrame frame = new(door, index);
            _touches = [.. touches.Select(t => { (double s, double u, double v) = frame.Of(t.At); return (s, u, v, toMm * t.Point.BallRadius, t.Point.IsEdge, t.Point.IsDoor); })];
            _surroundExpected = Expected(0);
            _doorExpected = Expected(_nominalFlush);

            (double, double)[] Expected(double face)
            {
                double half = _nominalGap / 2, search = new SectionOptions().SearchMm;
                (double, double)[] expected = new (double, double)[SideParameters.Count];
                expected[SideParameters.X] = (-half, search);
                expected[SideParameters.X + 1] = expected[SideParameters.Y + 1] = (0, AlongSd);
                expected[SideParameters.Y] = (face - _curvature * half * half / 2, search);
                expected[SideParameters.Turn] = (_curvature * half, TurnSd);
                expected[SideParameters.Curvature] = (_curvature, nominal is null ? UnknownCurvatureSd : CurvatureSd);
                expected[SideParameters.Draft] = ShapePrior.Usual.DraftRad;
                expected[SideParameters.Break1] = UsualRadius;
                return expected;
            }
        }

        public ProbedSide? Surround { get; private set; }

        public ProbedSide? DoorSide { get; private set; }

        public void Fit(double sigma) => (Surround, DoorSide) = (ProbedSide.Fit(Own(false), _surroundExpected, sigma), ProbedSide.Fit(Own(true), _doorExpected, sigma));

        public StationSection Section(SectionOptions options, double placeUncertaintyMm, string? source, double sigma)
        {
            int s = _touches.Count(t => !t.IsDoor), d = _touches.Length - s;
            StationSection empty = new() { Station = _station, SurroundPoints = s, DoorPoints = d };
            if (_touches.Length == 0) return empty with { Reason = "not touched" };
            if (Surround is null || DoorSide is null) return empty with { Reason = $"no touch on the skin of the {(Surround is null ? DoorSide is null ? "surround and of the door" : "surround" : "door")}" };
            double[] p = [.. Surround.Parameters.Values, .. DoorSide.Parameters.Values];
            if (Evaluate(p) is not (SeamSection section, Outline surround, Outline door)) return empty with { Reason = "the fitted outlines do not make a section" };
            List<string> reasons = [];
            // Propagated by drawing: an edge extreme sits at the top of a wall that leans one way and at its foot where it leans the other, which no slope tells.
            SeededRandom random = new((ulong)_station.Index + 1);
            List<SeamSection> draws = [];
            double[] normal = new double[2 * ProbedSide.DrawSize];
            for (int i = 0; i < Draws; i++)
            {
                for (int k = 0; k < normal.Length; k++) normal[k] = i % 2 == 0 ? random.Normal() : -normal[k];
                if (Evaluate([.. Surround.Drawn(normal.AsSpan(0, ProbedSide.DrawSize)), .. DoorSide.Drawn(normal.AsSpan(ProbedSide.DrawSize))]) is (SeamSection drawn, _, _)) draws.Add(drawn);
            }
            (double? gap, double gapU) = Value(c => c.Gap(_door.GapDefinition), "gap", options.LargestGapUncertaintyMm);
            (double? flush, double flushU) = Value(c => c.Flush(_door.FlushDefinition), "flush", options.LargestFlushUncertaintyMm);
            double half = _nominalGap / 2;
            double NominalAt(double u) => -_curvature * u * u / 2;
            return new()
            {
                Station = _station,
                GapMm = gap,
                FlushMm = flush,
                GapBudget = Budget(gap, gapU, p[1] + p[SideParameters.Count + 1]),
                FlushBudget = Budget(flush, flushU, p[SideParameters.Count + 4] - p[4]),
                SurroundEdgeMm = gap is null ? null : section.ExtremePoints.Surround?.X + half,
                SurroundFaceMm = flush is null ? null : surround.Corner.Y - NominalAt(surround.Corner.X),
                DoorEdgeMm = gap is null ? null : section.ExtremePoints.Door?.X - half,
                DoorFaceMm = flush is null ? null : door.Corner.Y - NominalAt(door.Corner.X) - _nominalFlush,
                TiltRad = section.TiltRad,
                SurroundPoints = s,
                DoorPoints = d,
                NoiseMm = (sigma, sigma),
                Surround = surround,
                Door = door,
                Shown = [.. _touches.Select(t => Touched(t.U, t.V, t.Ball, t.IsDoor ? door : surround))],
                Reason = reasons.Count > 0 ? string.Join("; ", reasons) : null,
                HasKnownUncertainty = source is not null,
            };

            (double?, double) Value(Func<SeamSection, double?> of, string what, double largest)
            {
                if (of(section) is not double here)
                {
                    reasons.Add($"the outlines do not reach what this {what} definition asks for");
                    return (null, 0);
                }
                double[] off = [.. draws.Select(of).OfType<double>().Select(v => v - here)];
                double u = off.Length < 0.8 * Draws ? double.PositiveInfinity : Math.Sqrt(off.Average(v => v * v));
                if (u <= largest) return (here, u);
                int worst = Enumerable.Range(0, p.Length).MaxBy(k => Math.Max(Moves(k, 1.5), Moves(k, -1.5)));
                reasons.Add((double.IsFinite(u) ? Invariant($"{what} known only to {2 * u:0.0} mm (k = 2): ") : $"{what} not known: ") + Open(worst % SideParameters.Count, worst >= SideParameters.Count));
                return (null, u);

                double Moves(int k, double by)
                {
                    double[] q = (double[])p.Clone();
                    q[k] += by * Math.Sqrt(Math.Max(0, Side(k).Covariance[k % SideParameters.Count, k % SideParameters.Count]));
                    return Evaluate(q) is (SeamSection cut, _, _) && of(cut) is double there ? Math.Abs(there - here) : 0;
                }
            }

            ProbedSide Side(int k) => k < SideParameters.Count ? Surround : DoorSide;

            (SeamSection, Outline, Outline)? Evaluate(double[] q)
            {
                SideParameters a = new(false, q[..SideParameters.Count]), b = new(false, q[SideParameters.Count..]);
                a.Values[SideParameters.Break1] = Math.Max(0, a.Values[SideParameters.Break1]);
                b.Values[SideParameters.Break1] = Math.Max(0, b.Values[SideParameters.Break1]);
                if (!a.IsShape || !b.IsShape) return null;
                SectionParameters parameters = SectionParameters.Of(_door);
                double skin = Math.Max(StationFit.SkinMm, Math.Max(parameters.FarFootMm, parameters.SetBackMm) + 5);
                (Outline left, Outline right) = (a.AtStation(false, skin, 4 * StationFit.WallRunsToMm), b.AtStation(true, skin, 4 * StationFit.WallRunsToMm));
                return (new(left, right, parameters with { EdgeDepthMm = Math.Min(parameters.EdgeDepthMm, StationFit.WallRunsToMm) }), left, right);
            }

            List<UncertaintyComponent> Budget(double? value, double u, double slope)
            {
                if (value is null || source is null) return [];
                List<UncertaintyComponent> budget = [new(source, u, double.PositiveInfinity)];
                if (placeUncertaintyMm * Math.Abs(slope) > 0) budget.Add(new("registration", placeUncertaintyMm * Math.Abs(slope), double.PositiveInfinity));
                return budget;
            }
        }

        // What the touches of a side leave open, in words.
        private string Open(int parameter, bool isDoor)
        {
            string side = isDoor ? "door" : "surround";
            int edge = _touches.Count(t => t.IsDoor == isDoor && t.IsEdge), skin = _touches.Count(t => t.IsDoor == isDoor && !t.IsEdge);
            return parameter switch
            {
                SideParameters.Break1 when edge > 0 => $"the touches do not tell the edge radius of the {side}",
                SideParameters.Draft when edge > 0 => $"the touches do not tell how the return of the {side} leans",
                SideParameters.Turn or SideParameters.Curvature or SideParameters.Y => Invariant($"{skin} {(skin == 1 ? "touch does" : "touches do")} not tell the slope of the {side}'s skin"),
                _ => edge == 0 ? $"no touch on the edge of the {side}" : Invariant($"{edge} {(edge == 1 ? "touch does" : "touches do")} not hold the edge of the {side}"),
            };
        }

        private (double, double, double, double, bool)[] Own(bool isDoor) => [.. _touches.Where(t => t.IsDoor == isDoor).Select(t => (t.S, isDoor ? -t.U : t.U, t.V, t.Ball, t.IsEdge))];

        private static (float, float) Touched(double u, double v, double ball, Outline outline)
        {
            Point2 centre = new(u, v), off = centre - outline.NearestTo(centre);
            Point2 at = off.Length > 1e-9 ? centre - ball / off.Length * off : centre;
            return ((float)at.X, (float)at.Y);
        }
    }
}
