namespace GapFlush.Sections;

/// <summary>The fits of all stations of one door: each by itself first, then again with what the stations tell one another.</summary>
/// <remarks>Edges of a side come from one mould, skins on both sides from one loft, and a part keeps its shape: METHOD.md, eq. 31, 44 and 45.</remarks>
internal static class DoorFits
{
    // An edge is chamfered all along or nowhere: one station in so many is asked.
    private const int ChamferEvery = 4;
    // Evidence that a chamfer must have at a station, beyond the price of its length: a radius of which a hidden return shows a part only may gain two.
    private const double LeastChamferGain = 3;

    /// <summary>Fits every station.</summary>
    /// <param name="slabs">One for every station, in station order.</param>
    /// <param name="options">How.</param>
    /// <param name="correction">A last small motion of the points, or null.</param>
    /// <param name="quick">True for a first look: each station by itself, edges taken as radii.</param>
    public static StationFit[] Of(IReadOnlyList<StationSlab> slabs, SectionOptions options, Geometry.RigidMotion? correction, bool quick)
    {
        StationFit[] fits = new StationFit[slabs.Count];
        Parallel.For(0, slabs.Count, i =>
            fits[i] = StationFit.Run(slabs[i].ToPoints(correction), slabs[i].NominalGapMm, options.SearchMm, ShapePrior.Usual, ShapePrior.Usual, flat: false, tryChamfer: !quick && i % ChamferEvery == 0, options.HalfRunMm));
        if (quick) return fits;
        bool surroundChamfer = IsChamfer(f => f.ChamferGain.Surround), doorChamfer = IsChamfer(f => f.ChamferGain.Door);
        // A station alone may take a hidden radius for a chamfer; all together do not.
        (ShapePrior s0, ShapePrior d0) = (surroundChamfer ? ShapePrior.UsualChamfer : ShapePrior.Usual, doorChamfer ? ShapePrior.UsualChamfer : ShapePrior.Usual);
        Parallel.For(0, slabs.Count, i =>
        {
            if ((fits[i].Surround?.Parameters.IsChamfer ?? surroundChamfer) != surroundChamfer || (fits[i].Door?.Parameters.IsChamfer ?? doorChamfer) != doorChamfer)
                fits[i] = StationFit.Run(fits[i].Points, slabs[i].NominalGapMm, options.SearchMm, s0, d0, flat: false, tryChamfer: false, options.HalfRunMm);
        });
        (ShapePrior surround, ShapePrior door) = (Common(fits.Select(f => f.Surround), surroundChamfer), Common(fits.Select(f => f.Door), doorChamfer));
        LoftStep? step = StepOf(fits);
        Parallel.For(0, slabs.Count, i =>
        {
            // A station that found no shape of its own may still fit the common one.
            if (fits[i].Reason is not null)
                fits[i] = StationFit.Run(fits[i].Points, slabs[i].NominalGapMm, options.SearchMm, surround, door, flat: false, tryChamfer: false, options.HalfRunMm);
            fits[i] = Settled(fits[i], surround, door, step);
            foreach (bool isDoor in (ReadOnlySpan<bool>)[false, true]) LookUnderTorn(isDoor);

            void LookUnderTorn(bool isDoor)
            {
                if ((isDoor ? fits[i].Door : fits[i].Surround) is not SideFit torn || fits[i].Surround is null || fits[i].Door is null || !TornSkin.Of(torn)) return;
                ShapePrior told = Told(fits[i], isDoor, isDoor ? door : surround, step);
                if (told.IsChamfer != torn.Parameters.IsChamfer) return;
                foreach ((double, double) leftOut in TornSkin.LeftOut)
                {
                    StationFit other = Settled(fits[i].FromWithout(isDoor, told, options.HalfRunMm, leftOut), surround, door, step);
                    if (Score(other, surround, door) > Score(fits[i], surround, door)) fits[i] = other;
                }
            }
        });
        LookAgainAtUnlike(fits, slabs, options, surround, door, step);
        RefuseUnlikeOthers(fits, slabs, surround, door);
        return fits;

        // What half of the stations that were asked say: one that has gone astray may gain a hundred by a chamfer of its own.
        bool IsChamfer(Func<StationFit, double> gain)
        {
            double[] gains = [.. fits.Where((f, i) => i % ChamferEvery == 0 && f.Surround is not null && f.Door is not null).Select(gain).Order()];
            return gains.Length > 0 && gains[gains.Length / 2] > LeastChamferGain;
        }
    }

    // A fit that departs from its side's others may have gone astray: it is looked for where the others let expect it, and the one that explains more points, and what the mould is known for, stays.
    private static void LookAgainAtUnlike(StationFit[] fits, IReadOnlyList<StationSlab> slabs, SectionOptions options, ShapePrior surround, ShapePrior door, LoftStep? step)
    {
        foreach (bool isDoor in new[] { false, true })
        {
            ShapePrior shape = isDoor ? door : surround;
            SideFit?[] side = [.. fits.Select(f => isDoor ? f.Door : f.Surround)];
            if (SideCourse.Of(side, slabs, isDoor, shape) is not SideCourse course) continue;
            Parallel.For(0, fits.Length, i =>
            {
                if (side[i] is not SideFit own || fits[i].Door is null || fits[i].Surround is null || !course.IsUnlike(i, own)) return;
                ShapePrior told = Told(fits[i], isDoor, shape, step);
                StationFit other = Settled(fits[i].From(isDoor, course.Start(i, told.Curvature.Value), told, options.HalfRunMm), surround, door, step);
                if (Score(other, surround, door) > Score(fits[i], surround, door)) fits[i] = other;
                // What leans otherwise than the mould lets it is no wall: a seal, or what hangs between the edges.
                if (course.IsForeignWall((isDoor ? fits[i].Door : fits[i].Surround)!)) fits[i] = Settled(fits[i].WithoutWall(isDoor, told), surround, door, step);
            });
        }
    }

    // What is known of a side's shape, with what the skin across the seam tells of its curvature.
    private static ShapePrior Told(StationFit fit, bool isDoor, ShapePrior shape, LoftStep? step)
    {
        if (step is null) return shape;
        double curvature = (isDoor ? fit.Surround : fit.Door)!.Parameters.Values[SideParameters.Curvature];
        return shape with { Curvature = isDoor ? (curvature + step.Value, step.DoorSd) : (curvature - step.Value, step.SurroundSd) };
    }

    private static double Score(StationFit fit, ShapePrior surround, ShapePrior door) => fit.Explained - Departure(fit.Surround!, surround) - Departure(fit.Door!, door);

    // Half the square of what a side departs by from a shape that is known, which weighs as so many points.
    private static double Departure(SideFit fit, ShapePrior shape)
    {
        double[] p = fit.Parameters.Values;
        return Of(SideParameters.Break1, shape.Break1) + (shape.IsChamfer ? Of(SideParameters.Break2, shape.Break2) : 0) + Of(SideParameters.Draft, shape.DraftRad);

        double Of(int k, (double Value, double Sd) known) => 0.5 * Math.Pow((p[k] - known.Value) / known.Sd, 2);
    }

    // A fit that found next to nothing of an edge that the other stations of its side show lies beside it; one that takes a fraction of their points follows something else.
    private static void RefuseUnlikeOthers(StationFit[] fits, IReadOnlyList<StationSlab> slabs, ShapePrior surroundShape, ShapePrior doorShape)
    {
        const double LeastEdge = 0.2, LeastUsed = 0.3;
        foreach (bool door in new[] { false, true })
        {
            SideFit[] all = [.. fits.Select(f => door ? f.Door : f.Surround).OfType<SideFit>().Where(f => f.Cells is not null)];
            if (all.Length < 8) continue;
            SideCourse? course = SideCourse.Of([.. fits.Select(f => door ? f.Door : f.Surround)], slabs, door, door ? doorShape : surroundShape);
            double edge = all.Select(f => f.EdgeCount / f.HalfRunMm).Order().ElementAt(all.Length / 2), used = all.Select(f => f.Used / f.HalfRunMm).Order().ElementAt(all.Length / 2);
            for (int i = 0; i < fits.Length; i++)
            {
                if ((door ? fits[i].Door : fits[i].Surround) is not SideFit own) continue;
                if (course?.Departure(i, own) is double off)
                {
                    fits[i] = fits[i].Refused(Invariant($"{(door ? "door" : "surround")}: what looks like its edge lies {off:0.0} mm from where the side's other stations let expect it; look at it and measure it by hand"));
                    continue;
                }
                double run = own.HalfRunMm > 0 ? own.HalfRunMm : all[0].HalfRunMm;
                if (own.Cells is not null && own.EdgeCount / own.HalfRunMm >= LeastEdge * edge && own.Used / own.HalfRunMm >= LeastUsed * used) continue;
                fits[i] = fits[i].Refused(Invariant($"{(door ? "door" : "surround")}: {own.EdgeCount} points of the edge and {own.Used} in all fit, where its other stations have about {edge * run:0} and {used * run:0}: the edge was not found"));
            }
        }
    }

    private static StationFit Settled(StationFit fit, ShapePrior surround, ShapePrior door, LoftStep? step)
    {
        if (step is not LoftStep(double value, double surroundSd, double doorSd, double sd, double spread) || fit is not { Surround: SideFit a, Door: SideFit b }) return fit.Again(surround, door);
        (double ka, double kb) = (a.Parameters.Values[SideParameters.Curvature], b.Parameters.Values[SideParameters.Curvature]);
        (ShapePrior s, ShapePrior d) = (surround with { Curvature = (kb - value, surroundSd) }, door with { Curvature = (ka + value, doorSd) });
        if (Math.Abs(kb - ka - value) <= 4 * sd) return fit.Again(s, d).With((surroundSd, doorSd, spread));
        // One of them is bowed over something. The one that can follow the other is; the other cannot without leaving its points.
        (StationFit doorFollows, StationFit surroundFollows) = (fit.Again(surround, d).With((surround.Curvature.Sd, doorSd, spread)), fit.Again(s, door).With((surroundSd, door.Curvature.Sd, spread)));
        // The other side may come back from what it bowed over by itself: then the one that was bent to it is left out of step.
        (double doorMisstep, double surroundMisstep) = (Misstep(doorFollows), Misstep(surroundFollows));
        if (Math.Max(doorMisstep, surroundMisstep) > 4 * sd) return doorMisstep <= surroundMisstep ? doorFollows : surroundFollows;
        return doorFollows.Explained >= surroundFollows.Explained ? doorFollows : surroundFollows;

        double Misstep(StationFit f) => Math.Abs(f.Door!.Parameters.Values[SideParameters.Curvature] - f.Surround!.Parameters.Values[SideParameters.Curvature] - value);
    }

    // Door and surround were made to one loft: their curvatures differ by much the same all along, whatever it is. A skin that bowed over tape on one side shows against the other.
    private static LoftStep? StepOf(StationFit[] fits)
    {
        const double Least = 1e-5;
        const int K = SideParameters.Curvature;
        StationFit[] both = [.. fits.Where(f => f.Surround is not null && f.Door is not null)];
        if (both.Length < 5) return null;
        double[] step = [.. both.Select(f => f.Door!.Parameters.Values[K] - f.Surround!.Parameters.Values[K]).Order()];
        double median = step[step.Length / 2];
        double[] off = [.. step.Select(v => Math.Abs(v - median)).Order()];
        double sd = Math.Max(Least, off[off.Length / 2] / Numerics.RobustWeights.NormalMedian), surround = Own(f => f.Surround!), door = Own(f => f.Door!);
        // What one side says of the other holds its own uncertainty and what lofts differ by; the difference seen holds both sides' uncertainty.
        return new(median, Math.Max(Math.Sqrt(Math.Max(0, sd * sd - surround)), Math.Sqrt(door)), Math.Max(Math.Sqrt(Math.Max(0, sd * sd - door)), Math.Sqrt(surround)), sd, Math.Sqrt(Math.Max(2.5e-11, sd * sd - surround - door)));

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
        SideFit[] told = [.. fits.OfType<SideFit>().Where(f => f.Parameters.IsChamfer == chamfer && f.EdgeCount + f.SkinCount >= 50)], good = [.. told.Where(f => f.WallCount >= 50)];
        ShapePrior usual = chamfer ? ShapePrior.UsualChamfer : ShapePrior.Usual;
        if (good.Length < 5)
        {
            // Without walls the stations still tell how smooth the skin is: a station that found out by itself, over tape, would take the tape for unevenness.
            return told.Length < 5 ? usual : usual with { Noise = Noise(told) };
        }
        return new(chamfer, Of(SideParameters.Break1, 0.03), chamfer ? Of(SideParameters.Break2, 0.03) : ShapePrior.Usual.Break2, Of(SideParameters.Draft, 0.004))
        {
            Bend = Spread(SideParameters.X + 2),
            Bow = Spread(SideParameters.Y + 2),
            Noise = Noise(good),
        };

        // How much the runs of this side bend: what the stations differ by beyond their own uncertainty, the few that stand out (corners, where the frame is a cubic) included. A quarter of
        // that uncertainty stays in, since a spread is not told better than that.
        (double, double) Spread(int k)
        {
            double[] values = [.. good.Select(f => f.Parameters.Values[k]).Order()];
            double median = values[values.Length / 2], spread = values.Average(v => (v - median) * (v - median)), own = good.Average(f => f.Covariance[k, k]);
            return (median, Math.Sqrt(Math.Max(0, spread - own) + own / 4));
        }

        static CellNoise Noise(SideFit[] of) => new(Between(of, true), Between(of, false), CellNeighbours.Correlation(of.Where(f => f.Neighbours.Length > 0).Select(f => f.Neighbours)));

        static double Between(SideFit[] of, bool skin)
        {
            double[] each = [.. of.Where(f => f.Cells is not null).Select(f => SideFit.Shared(f.Cells!, f.CellResiduals, SideParameters.Count - 1, skin)).OfType<double>().Order()];
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

    // By how much the door's curvature exceeds the surround's all along; how surely either tells the other's; the robust spread of the difference, and what of it is the parts' own. All 1/mm.
    private sealed record LoftStep(double Value, double SurroundSd, double DoorSd, double Sd, double Spread);
}
