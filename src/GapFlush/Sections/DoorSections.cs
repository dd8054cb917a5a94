using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>Sections at every station of one door, from gathered points.</summary>
internal static class DoorSections
{
    /// <summary>What a budget calls the share of the registration.</summary>
    public const string RegistrationComponent = "registration";

    // An edge is chamfered all along or nowhere: one station in so many is asked.
    private const int ChamferEvery = 4;

    /// <summary>Fits every station, then again with the shapes that the side shows along its whole seam.</summary>
    /// <param name="door">The door.</param>
    /// <param name="slabs">One for every station, in station order.</param>
    /// <param name="options">How.</param>
    /// <param name="correction">A last small motion of the points, or null.</param>
    /// <param name="placeUncertaintyMm">Standard uncertainty of a place along the seam, from registration, mm.</param>
    /// <param name="quick">True for a first look: each station by itself, edges taken as radii.</param>
    public static IReadOnlyList<StationSection> Take(Door door, IReadOnlyList<StationSlab> slabs, SectionOptions options, RigidMotion? correction, double placeUncertaintyMm, bool quick = false)
    {
        StationFit[] fits = new StationFit[slabs.Count];
        int done = 0;
        Parallel.For(0, slabs.Count, i =>
            fits[i] = StationFit.Run(slabs[i].ToPoints(correction), slabs[i].NominalGapMm, options.SearchMm, ShapePrior.Usual, ShapePrior.Usual, flat: false, tryChamfer: !quick && i % ChamferEvery == 0, options.HalfRunMm));
        bool surroundChamfer = fits.Sum(f => f.ChamferGain.Surround) > 0, doorChamfer = fits.Sum(f => f.ChamferGain.Door) > 0;
        if (!quick)
        {
            // A station alone may take a hidden radius for a chamfer; all together do not.
            (ShapePrior s0, ShapePrior d0) = (surroundChamfer ? ShapePrior.UsualChamfer : ShapePrior.Usual, doorChamfer ? ShapePrior.UsualChamfer : ShapePrior.Usual);
            Parallel.For(0, slabs.Count, i =>
            {
                if ((fits[i].Surround?.Parameters.IsChamfer ?? surroundChamfer) != surroundChamfer || (fits[i].Door?.Parameters.IsChamfer ?? doorChamfer) != doorChamfer)
                    fits[i] = StationFit.Run(fits[i].Points, slabs[i].NominalGapMm, options.SearchMm, s0, d0, flat: false, tryChamfer: false, options.HalfRunMm);
            });
        }
        (ShapePrior surround, ShapePrior doorShape) = quick ? (ShapePrior.Usual, ShapePrior.Usual) : (Common(fits.Select(f => f.Surround), surroundChamfer), Common(fits.Select(f => f.Door), doorChamfer));
        (double Value, double SurroundSd, double DoorSd, double Sd, double Spread)? bowed = quick ? null : CurvatureStep(fits);
        SectionParameters parameters = SectionParameters.Of(door);
        StationSection[] sections = new StationSection[slabs.Count];
        Parallel.For(0, slabs.Count, i =>
        {
            if (!quick)
            {
                // A station that found no shape of its own may still fit the common one.
                if (fits[i].Reason is not null)
                    fits[i] = StationFit.Run(fits[i].Points, slabs[i].NominalGapMm, options.SearchMm, surround, doorShape, flat: false, tryChamfer: false, options.HalfRunMm);
                fits[i] = Settled(fits[i], surround, doorShape, bowed);
            }
        });
        if (!quick) RefuseUnlikeOthers(fits);
        Vector3[] directions = [.. slabs.Select(s => s.Station.IntoDoor)];
        (PassDisagreement surroundPasses, PassDisagreement doorPasses) = quick ? (PassDisagreement.None, PassDisagreement.None)
            : (PassDisagreement.Of([.. fits.Select(f => f.Surround)], directions), PassDisagreement.Of([.. fits.Select(f => f.Door)], directions));
        Parallel.For(0, slabs.Count, i =>
        {
            sections[i] = Section(door, slabs[i], fits[i], parameters, options, placeUncertaintyMm, quick, (surroundPasses.At(i), doorPasses.At(i)));
            options.Progress?.Invoke(quick ? "registering, station" : "sectioning station", Interlocked.Increment(ref done), slabs.Count);
        });
        return sections;
    }

    // A fit that found next to nothing of an edge that the other stations of its side show lies beside it; one that takes a fraction of their points follows something else.
    private static void RefuseUnlikeOthers(StationFit[] fits)
    {
        const double LeastEdge = 0.2, LeastUsed = 0.3;
        foreach (bool door in new[] { false, true })
        {
            SideFit[] all = [.. fits.Select(f => door ? f.Door : f.Surround).OfType<SideFit>().Where(f => f.Cells is not null)];
            if (all.Length < 8) continue;
            double edge = all.Select(f => f.EdgeCount / f.HalfRunMm).Order().ElementAt(all.Length / 2), used = all.Select(f => f.Used / f.HalfRunMm).Order().ElementAt(all.Length / 2);
            for (int i = 0; i < fits.Length; i++)
            {
                if ((door ? fits[i].Door : fits[i].Surround) is not SideFit own) continue;
                double run = own.HalfRunMm > 0 ? own.HalfRunMm : all[0].HalfRunMm;
                if (own.Cells is not null && own.EdgeCount / own.HalfRunMm >= LeastEdge * edge && own.Used / own.HalfRunMm >= LeastUsed * used) continue;
                fits[i] = fits[i].Refused(Invariant($"{(door ? "door" : "surround")}: {own.EdgeCount} points of the edge and {own.Used} in all fit, where its other stations have about {edge * run:0} and {used * run:0}: the edge was not found"));
            }
        }
    }

    private static StationFit Settled(StationFit fit, ShapePrior surround, ShapePrior door, (double Value, double SurroundSd, double DoorSd, double Sd, double Spread)? step)
    {
        if (step is not (double value, double surroundSd, double doorSd, double sd, double spread) || fit is not { Surround: SideFit a, Door: SideFit b }) return fit.Again(surround, door);
        (double ka, double kb) = (a.Parameters.Values[SideParameters.Curvature], b.Parameters.Values[SideParameters.Curvature]);
        (ShapePrior s, ShapePrior d) = (surround with { Curvature = (kb - value, surroundSd) }, door with { Curvature = (ka + value, doorSd) });
        if (Math.Abs(kb - ka - value) <= 4 * sd) return fit.Again(s, d).With((surroundSd, doorSd, spread));
        // One of them is bowed over something. The one that can follow the other is; the other cannot without leaving its points.
        (StationFit doorFollows, StationFit surroundFollows) = (fit.Again(surround, d).With((surround.Curvature.Sd, doorSd, spread)), fit.Again(s, door).With((surroundSd, door.Curvature.Sd, spread)));
        return doorFollows.Explained >= surroundFollows.Explained ? doorFollows : surroundFollows;
    }

    // Door and surround were made to one loft: their curvatures differ by much the same all along, whatever it is. A skin that bowed over tape on one side shows against the other.
    private static (double Value, double SurroundSd, double DoorSd, double Sd, double Spread)? CurvatureStep(StationFit[] fits)
    {
        const double Least = 3e-5;
        const int K = SideParameters.Curvature;
        StationFit[] both = [.. fits.Where(f => f.Surround is not null && f.Door is not null)];
        if (both.Length < 5) return null;
        double[] step = [.. both.Select(f => f.Door!.Parameters.Values[K] - f.Surround!.Parameters.Values[K]).Order()];
        double median = step[step.Length / 2];
        double[] off = [.. step.Select(v => Math.Abs(v - median)).Order()];
        double sd = Math.Max(Least, off[off.Length / 2] / Numerics.RobustWeights.NormalMedian), surround = Own(f => f.Surround!), door = Own(f => f.Door!);
        // What one side says of the other holds its own uncertainty and what lofts differ by; the difference seen holds both sides' uncertainty.
        return (median, Math.Max(Math.Sqrt(Math.Max(0, sd * sd - surround)), Math.Sqrt(door)), Math.Max(Math.Sqrt(Math.Max(0, sd * sd - door)), Math.Sqrt(surround)), sd, Math.Sqrt(Math.Max(1e-10, sd * sd - surround - door)));

        double Own(Func<StationFit, SideFit> side)
        {
            double[] values = [.. both.Select(f => side(f).Covariance[K, K]).Order()];
            return values[values.Length / 2];
        }
    }

    // What the edge of a side is like all along: median and spread over the stations that tell it well. An edge comes from one mould: where one
    // station hides it, the others know.
    private static ShapePrior Common(IEnumerable<SideFit?> fits, bool chamfer)
    {
        SideFit[] all = [.. fits.OfType<SideFit>().Where(f => f.WallCount >= 50 && f.EdgeCount + f.SkinCount >= 50)];
        SideFit[] good = [.. all.Where(f => f.Parameters.IsChamfer == chamfer)];
        if (good.Length < 5) return chamfer ? ShapePrior.UsualChamfer : ShapePrior.Usual;
        return new(chamfer, Of(SideParameters.Break1, 0.03), chamfer ? Of(SideParameters.Break2, 0.03) : ShapePrior.Usual.Break2, Of(SideParameters.Draft, 0.004))
        {
            Bend = Spread(SideParameters.X + 2),
            Bow = Spread(SideParameters.Y + 2),
            Between = (Between(true), Between(false)),
        };

        // How much the runs of this side bend: what the stations differ by beyond their own uncertainty, the few that stand out (corners, where the frame is a cubic) included. A quarter of
        // that uncertainty stays in, since a spread is not told better than that.
        (double, double) Spread(int k)
        {
            double[] values = [.. good.Select(f => f.Parameters.Values[k]).Order()];
            double median = values[values.Length / 2], spread = values.Average(v => (v - median) * (v - median)), own = good.Average(f => f.Covariance[k, k]);
            return (median, Math.Sqrt(Math.Max(0, spread - own) + own / 4));
        }

        double Between(bool skin)
        {
            double[] each = [.. good.Where(f => f.Cells is not null).Select(f => SideFit.Shared(f.Cells!, f.CellResiduals, SideParameters.Count - 1, skin)).OfType<double>().Order()];
            return each.Length == 0 ? 0 : Math.Max(0, each[each.Length / 2]);
        }

        (double Value, double Sd) Of(int k, double least)
        {
            SideFit[] told = [.. good.Where(f => Math.Sqrt(f.Covariance[k, k]) < 10 * least)];
            if (told.Length < 5) return k == SideParameters.Draft ? ShapePrior.Usual.DraftRad : ShapePrior.Usual.Break1;
            double[] values = [.. told.Select(f => f.Parameters.Values[k]).Order()];
            double median = values[values.Length / 2];
            double[] off = [.. values.Select(v => Math.Abs(v - median)).Order()];
            double spread = off[off.Length / 2] / Numerics.RobustWeights.NormalMedian;
            // The spread seen holds the noise of each station too, so it is on the careful side; and no mould is truer than the least.
            return (median, Math.Max(least, 1.5 * spread));
        }
    }

    private static StationSection Section(Door door, StationSlab slab, StationFit fit, SectionParameters parameters, SectionOptions options, double placeUncertaintyMm, bool quick, (double SurroundMm, double DoorMm) passes)
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
            // Differences over a step of the size of the uncertainty itself see a kink (an extreme that jumps) as it will be met; a hidden wall may be undercut although none is expected.
            double step = Math.Max(1e-7, (own == SideParameters.Draft && side.WallCount == 0 ? 1.5 : 0.5) * sd);
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
            GapBudget = gap is null ? [] : Budget(gapU, gapDof, taper, Passes(gapBy)),
            FlushBudget = flush is null ? [] : Budget(flushU, flushDof, ramp, Passes(flushBy)),
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
            return Math.Sqrt(s * s + d * d);
        }

        List<UncertaintyComponent> Budget(double fitU, double dof, double slope, double passesU)
        {
            // The scanner's own row speaks for its passes; what they disagree by beyond it is added.
            double stated = options.Scanner?.StandardUncertaintyMm ?? 0, beyond = Math.Sqrt(Math.Max(0, passesU * passesU - stated * stated));
            List<UncertaintyComponent> budget = [new("fit of the section to the points", fitU, dof)];
            if (placeUncertaintyMm * slope > 0) budget.Add(new(RegistrationComponent, placeUncertaintyMm * slope, double.PositiveInfinity));
            if (fault > 0) budget.Add(new("local fault of the edge beside the station", fault, double.PositiveInfinity));
            if (beyond > 0) budget.Add(new("disagreement of the scanner's passes", beyond, double.PositiveInfinity));
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
        int[] near = [.. Enumerable.Range(0, points.Count).Where(i => Math.Abs(points.S[i]) < 2)];
        int stride = Math.Max(1, near.Length / 1500);
        return [.. near.Where((_, k) => k % stride == 0).Select(i => ((float)points.U[i], (float)points.V[i]))];
    }
}
