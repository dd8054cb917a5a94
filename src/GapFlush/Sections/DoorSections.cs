using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>Sections at every station of one door, from gathered points.</summary>
internal static class DoorSections
{
    /// <summary>What a budget calls the share of the registration.</summary>
    public const string RegistrationComponent = "registration";

    /// <summary>What a budget calls the passes' disagreement where the stations do not tell it.</summary>
    public const string AssumedPassesComponent = "disagreement of the scanner's passes, a usual value";

    /// <summary>Fits every station, then again with the shapes that the side shows along its whole seam.</summary>
    /// <param name="door">The door.</param>
    /// <param name="slabs">One for every station, in station order.</param>
    /// <param name="options">How.</param>
    /// <param name="correction">A last small motion of the points, or null.</param>
    /// <param name="placeUncertaintyMm">Standard uncertainty of a place along the seam, from registration, mm.</param>
    /// <param name="quick">True for a first look: each station by itself, edges taken as radii.</param>
    public static IReadOnlyList<StationSection> Take(Door door, IReadOnlyList<StationSlab> slabs, SectionOptions options, RigidMotion? correction, double placeUncertaintyMm, bool quick = false)
    {
        StationFit[] fits = DoorFits.Of(slabs, options, correction, quick);
        SectionParameters parameters = SectionParameters.Of(door);
        StationSection[] sections = new StationSection[slabs.Count];
        int done = 0;
        Vector3[] directions = [.. slabs.Select(s => s.Station.IntoDoor)];
        (PassDisagreement surroundPasses, PassDisagreement doorPasses) = quick ? (PassDisagreement.None, PassDisagreement.None)
            : (PassDisagreement.Of([.. fits.Select(f => f.Surround)], directions), PassDisagreement.Of([.. fits.Select(f => f.Door)], directions));
        double inStep = surroundPasses.InStepWith(doorPasses);
        Parallel.For(0, slabs.Count, i =>
        {
            sections[i] = Section(door, slabs[i], fits[i], parameters, options, placeUncertaintyMm, quick, (surroundPasses.At(i), doorPasses.At(i), surroundPasses.IsAssumed || doorPasses.IsAssumed, inStep));
            options.Progress?.Invoke(quick ? "registering, station" : "sectioning station", Interlocked.Increment(ref done), slabs.Count);
        });
        return sections;
    }

    private static StationSection Section(Door door, StationSlab slab, StationFit fit, SectionParameters parameters, SectionOptions options, double placeUncertaintyMm, bool quick, (double SurroundMm, double DoorMm, bool IsAssumed, double InStep) passes)
    {
        Station station = slab.Station;
        if (fit.Points.Count == 0) return new() { Station = station, Reason = "no points of the scan lie near this station" };
        if (fit.Surround is null || fit.Door is null)
            return new() { Station = station, Reason = fit.Reason, SurroundPoints = fit.Surround?.Used ?? 0, DoorPoints = fit.Door?.Used ?? 0, Shown = Shown(fit.Points) };
        double[] p = [.. fit.Surround.Parameters.Values, .. fit.Door.Parameters.Values];
        double skin = Math.Max(StationFit.SkinMm, Math.Max(parameters.FarFootMm, parameters.SetBackMm) + 5);
        if (Evaluate(p) is not (SeamSection section, Outline surround, Outline doorOutline))
            return new() { Station = station, Reason = "the fitted outlines do not make a section", Shown = Shown(fit.Points) };

        double? gap = section.Gap(door.GapDefinition), flush = section.Flush(door.FlushDefinition);
        double[] gapBy = new double[p.Length], flushBy = new double[p.Length], edgeBy = new double[p.Length], faceBy = new double[p.Length];
        (faceBy[SideParameters.Y], faceBy[SideParameters.Count + SideParameters.Y]) = (1, 1);
        for (int k = 0; k < p.Length; k++)
        {
            int own = k % SideParameters.Count;
            SideFit side = k < SideParameters.Count ? fit.Surround : fit.Door;
            double sd = Math.Sqrt(Math.Max(0, side.Covariance[own, own]));
            if (!(sd > 0) || quick) continue;
            // Differences over a step of the size of the uncertainty itself see a kink (an extreme that jumps) as it will be met; a hidden wall may be undercut although none is expected,
            // and near two standard deviations its slope is about the root mean square of what the gap then loses.
            double step = Math.Max(1e-7, (own == SideParameters.Draft && side.WallCount == 0 ? 1.75 : 0.5) * sd);
            (SeamSection? up, SeamSection? down) = (Evaluate(Moved(k, step))?.Section, Evaluate(Moved(k, -step))?.Section);
            gapBy[k] = Slope(up?.Gap(door.GapDefinition), gap, down?.Gap(door.GapDefinition), step);
            flushBy[k] = Slope(up?.Flush(door.FlushDefinition), flush, down?.Flush(door.FlushDefinition), step);
            edgeBy[k] = Slope(Edge(up, k), Edge(section, k), Edge(down, k), step);
        }
        (double gapU, double gapDof) = Uncertainty(gapBy);
        (double flushU, double flushDof) = Uncertainty(flushBy);
        double taper = Math.Abs(fit.Surround.Parameters.Values[1] + fit.Door.Parameters.Values[1]), ramp = Math.Abs(fit.Door.Parameters.Values[4] - fit.Surround.Parameters.Values[4]);
        // What even the shortest run did not follow.
        double fault = quick ? 0 : Math.Max(LocalFault.Of(fit.Surround), LocalFault.Of(fit.Door));
        List<string> reasons = [];
        if (gap is null) reasons.Add("the outlines do not reach what this gap definition asks for");
        else if ((LeansIn(fit.Surround) ?? LeansIn(fit.Door)) is double lean) (gap, _) = (null, Say(Invariant($"what looks like a return leans {lean * 180 / Math.PI:0} degrees into the gap: a large chamfer, as a rule, with its return out of sight")));
        else if (!(gapU <= options.LargestGapUncertaintyMm)) (gap, _) = (null, Say(Invariant($"gap known only to {2 * gapU:0.0} mm (k = 2): {Hidden(fit)}")));
        if (flush is null) reasons.Add("the outlines do not reach what this flush definition asks for");
        else if (!(flushU <= options.LargestFlushUncertaintyMm)) (flush, _) = (null, Say(Invariant($"flush known only to {2 * flushU:0.0} mm (k = 2)")));
        double nominalAt(double u) => -SkinCurvature(fit) * u * u / 2;
        double half = slab.NominalGapMm / 2;
        SideUncertainty? sides = quick ? null : new(Own(edgeBy, isDoor: false), Own(faceBy, isDoor: false), Own(edgeBy, isDoor: true), Own(faceBy, isDoor: true));
        return new()
        {
            Station = station,
            GapMm = gap,
            FlushMm = flush,
            GapBudget = gap is null ? [] : Budget(gapU, gapDof, taper, Passes(gapBy), Shortened(gapBy)),
            FlushBudget = flush is null ? [] : Budget(flushU, flushDof, ramp, Passes(flushBy), Shortened(flushBy)),
            SurroundEdgeMm = Known(sides?.SurroundEdgeMm, options.LargestGapUncertaintyMm, section.ExtremePoints.Surround?.X + half),
            SurroundFaceMm = Known(sides?.SurroundFaceMm, options.LargestFlushUncertaintyMm, surround.Corner.Y - nominalAt(surround.Corner.X)),
            DoorEdgeMm = Known(sides?.DoorEdgeMm, options.LargestGapUncertaintyMm, section.ExtremePoints.Door?.X - half),
            DoorFaceMm = Known(sides?.DoorFaceMm, options.LargestFlushUncertaintyMm, doorOutline.Corner.Y - nominalAt(doorOutline.Corner.X) - slab.NominalFlushMm),
            SideUncertainty = sides,
            TiltRad = section.TiltRad,
            SurroundPoints = fit.Surround.Used,
            DoorPoints = fit.Door.Used,
            NoiseMm = (fit.Surround.NoiseMm, fit.Door.NoiseMm),
            Surround = surround,
            Door = doorOutline,
            Shown = Shown(fit.Points),
            Reason = reasons.Count > 0 ? string.Join("; ", reasons) : null,
        };

        bool Say(string reason)
        {
            reasons.Add(reason);
            return true;
        }

        double[] Moved(int k, double by)
        {
            double[] q = (double[])p.Clone();
            q[k] += by;
            return q;
        }

        (SeamSection Section, Outline Surround, Outline Door)? Evaluate(double[] q)
        {
            SideParameters a = new(fit.Surround.Parameters.IsChamfer, q[..SideParameters.Count]), b = new(fit.Door.Parameters.IsChamfer, q[SideParameters.Count..]);
            if (!a.IsChamfer) a.Values[SideParameters.Break1] = Math.Max(0, a.Values[SideParameters.Break1]);
            if (!b.IsChamfer) b.Values[SideParameters.Break1] = Math.Max(0, b.Values[SideParameters.Break1]);
            if (!a.IsShape || !b.IsShape) return null;
            Outline surround = a.AtStation(false, skin, 4 * StationFit.WallRunsToMm), doorOutline = b.AtStation(true, skin, 4 * StationFit.WallRunsToMm);
            // How deep the walls truly reach is not known; the whole wall means eight millimetres of it.
            SectionParameters within = parameters with { EdgeDepthMm = Math.Min(parameters.EdgeDepthMm, StationFit.WallRunsToMm) };
            return (new SeamSection(surround, doorOutline, within), surround, doorOutline);
        }

        (double, double) Uncertainty(double[] by)
        {
            double grouped = fit.Variance(by[..SideParameters.Count], by[SideParameters.Count..]);
            return (Math.Sqrt(grouped), double.PositiveInfinity);
        }

        // A place that nothing holds is none, as with gap and flush.
        static double? Known(double? u, double largest, double? value) => u is null || u <= largest ? value : null;

        static double? Edge(SeamSection? of, int k) => k < SideParameters.Count ? of?.ExtremePoints.Surround?.X : of?.ExtremePoints.Door?.X;

        // A side's own place, by the derivatives of that side alone.
        double Own(double[] by, bool isDoor)
        {
            double[] own = [.. by.Select((d, k) => k >= SideParameters.Count == isDoor ? d : 0)];
            double fitted = Uncertainty(own).Item1, scan = Math.Max(Passes(own), options.Scanner?.StandardUncertaintyMm ?? 0), local = LocalFault.Of(isDoor ? fit.Door : fit.Surround);
            return Math.Sqrt(fitted * fitted + scan * scan + local * local);
        }

        // What a value would move by if the walls were off by what the passes disagree.
        double Passes(double[] by)
        {
            double s = 0, d = 0;
            for (int k = 0; k < SideParameters.Count; k++) (s, d) = (s + by[k] * fit.Surround.WallShift[k], d + by[SideParameters.Count + k] * fit.Door.WallShift[k]);
            (s, d) = (s * passes.SurroundMm, d * passes.DoorMm);
            return Math.Sqrt(s * s + d * d + 2 * passes.InStep * Math.Max(0, s * d));
        }

        // A fault that made the run shorter is followed the better the shorter the run: half of what the last shortening changed may be left.
        double Shortened(double[] by)
        {
            double sum = 0;
            foreach ((SideFit side, int from) in new[] { (fit.Surround, 0), (fit.Door, SideParameters.Count) })
            {
                if (side.OverLongerRun is not SideParameters longer) continue;
                double change = 0;
                for (int k = 0; k < SideParameters.Count; k++) change += by[from + k] * (side.Parameters.Values[k] - longer.Values[k]);
                sum += change * change / 4;
            }
            return Math.Sqrt(sum);
        }

        List<UncertaintyComponent> Budget(double fitU, double dof, double slope, double passesU, double shortened)
        {
            // The scanner's own row speaks for its passes; what they disagree by beyond it is added.
            double stated = options.Scanner?.StandardUncertaintyMm ?? 0, beyond = Math.Sqrt(Math.Max(0, passesU * passesU - stated * stated));
            List<UncertaintyComponent> budget = [new("fit of the section to the points", fitU, dof)];
            if (placeUncertaintyMm * slope > 0) budget.Add(new(RegistrationComponent, placeUncertaintyMm * slope, double.PositiveInfinity));
            if (fault > 0 || shortened > 0) budget.Add(new("local fault of the edge beside the station", Math.Sqrt(fault * fault + shortened * shortened), double.PositiveInfinity));
            if (beyond > 0) budget.Add(new(passes.IsAssumed ? AssumedPassesComponent : "disagreement of the scanner's passes", beyond, double.PositiveInfinity));
            if (options.Scanner is (string name, double u)) budget.Add(new($"scanner {name}", u, double.PositiveInfinity));
            return budget;
        }
    }

    private static double Slope(double? up, double? here, double? down, double step) =>
        (up, here, down) switch
        {
            (double a, _, double b) => (a - b) / (2 * step),
            (double a, double h, null) => (a - h) / step,
            (null, double h, double b) => (h - b) / step,
            _ => 0,
        };

    // Common practice, no source: a return that leans so far into the gap, rad, would not leave its mould.
    private static double? LeansIn(SideFit fit)
    {
        const double LargestUndercutRad = 0.25;
        double draft = fit.Parameters.Values[SideParameters.Draft];
        return draft < -LargestUndercutRad ? -draft : null;
    }

    private static double SkinCurvature(StationFit fit) => fit.Surround!.Parameters.Values[SideParameters.Curvature];

    private static string Hidden(StationFit fit)
    {
        List<string> hidden = [];
        if (fit.Surround!.WallCount < 30) hidden.Add(Invariant($"{fit.Surround.WallCount} points of the surround's return wall"));
        if (fit.Door!.WallCount < 30) hidden.Add(Invariant($"{fit.Door.WallCount} points of the door's return wall"));
        return hidden.Count > 0 ? "only " + string.Join(" and ", hidden) : "the points scatter too much";
    }

    private static (float, float)[] Shown(SlabPoints points)
    {
        // A few millimetres of the run and at most 1500 points: what a drawing of a section can show.
        int near = 0, seen = 0, n = 0;
        foreach (double s in points.S) near += Math.Abs(s) < 2 ? 1 : 0;
        int stride = Math.Max(1, near / 1500);
        (float, float)[] shown = new (float, float)[(near + stride - 1) / stride];
        for (int i = 0; i < points.Count; i++)
        {
            if (Math.Abs(points.S[i]) < 2 && seen++ % stride == 0) shown[n++] = ((float)points.U[i], (float)points.V[i]);
        }
        return shown;
    }
}
