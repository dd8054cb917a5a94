using GapFlush.Geometry;

namespace GapFlush.Drainage;

/// <summary>Finds the attitude, anywhere between the least and greatest pitch and roll, in which a channel holds most water or falls least.</summary>
/// <remarks>
/// <para>Method: branch and bound over boxes of attitudes. In a box every difference of two heights has an exact range (<see cref="AttitudeBox"/>); flooding with
/// the upper ends gives a level that no attitude of the box passes, hence a bound on depth and volume. Boxes whose bound does not pass the best value found are
/// dropped, the rest are quartered. The answer comes with its bound, so it is proven, not sampled. METHOD.md, eq. 5 and 7.</para>
/// <para>Slope: exact, from a finite list of attitudes (<see cref="WorstSlope"/>). METHOD.md, eq. 28.</para>
/// <para>Accuracy: depth to 1e-4 mm, volume to a thousandth, slope to 1e-5 %; never beaten by a dense search (WorstAttitudeTests).</para>
/// </remarks>
public static class WorstAttitude
{
    private const double DepthToleranceMm = 1e-4;
    private const double VolumeShare = 1e-3, VolumeToleranceMl = 1e-3;
    private const int MostBoxes = 20_000;

    /// <summary>The greatest pond depth of a channel in the box; null where in some attitude nothing known holds the water.</summary>
    /// <param name="network">The network.</param>
    /// <param name="channel">Index of the channel in the network.</param>
    /// <param name="box">The attitudes.</param>
    public static WorstPond? ForDepth(FloorNetwork network, int channel, AttitudeBox box)
    {
        if (IsUnbounded(network, channel)) return null;
        (int first, int count) = Range(network, channel);
        return Search(network, box, [.. Enumerable.Range(first, count)], water => Enumerable.Range(first, count).Max(water.Depth), (b, nodes, best) =>
        {
            double bound = 0;
            List<int> open = [];
            foreach (int n in nodes)
            {
                double most = Bounds(network, b, n)[n];
                bound = Math.Max(bound, most);
                if (most > best) open.Add(n);   // a part of the box can hold no more here than the box
            }
            return (bound, open);
        }, _ => DepthToleranceMm);
    }

    /// <summary>The greatest volume of standing water of a channel in the box, mL; null where the plan lacks a section, or nothing known holds the water.</summary>
    /// <param name="network">The network.</param>
    /// <param name="channel">Index of the channel in the network.</param>
    /// <param name="box">The attitudes.</param>
    public static WorstPond? ForVolume(FloorNetwork network, int channel, AttitudeBox box)
    {
        (int first, int count) = Range(network, channel);
        if (IsUnbounded(network, channel) || network.Edges.Skip(first - channel).Take(count - 1).Any(e => e.Section is null)) return null;
        return Search(network, box, [.. Enumerable.Range(first, count - 1)], water => water.VolumeMl(channel), (b, runs, _) =>
        {
            double bound = 0;
            List<int> open = [];
            Dictionary<int, double[]> over = [];
            double[] Over(int n) => over.TryGetValue(n, out double[]? known) ? known : over[n] = Bounds(network, b, n);
            foreach (int n in runs)
            {
                // The level on the run is the lower of its ends' levels; each end's depth under it is bounded from that end.
                (double[] fromA, double[] fromB) = (Over(n), Over(n + 1));
                double depthA = Math.Min(fromA[n], fromA[n + 1]), depthB = Math.Min(fromB[n], fromB[n + 1]);
                if (depthA <= 0 && depthB <= 0) continue;
                open.Add(n);
                Vector3 step = network.Edges[n - channel].Step;
                double rise = Math.Max(0, Math.Max(b.LeastHeight(step), -b.GreatestHeight(step)));
                double run = Math.Sqrt(Math.Max(0, step.Dot(step) - rise * rise)), wet = run;
                if (depthA < 0) wet = run * depthB / (depthB - depthA);
                else if (depthB < 0) wet = run * depthA / (depthA - depthB);
                bound += network.Edges[n - channel].Section!.Volume(wet, Math.Max(0, depthA), Math.Max(0, depthB)) / 1000;
            }
            return (bound, open);
        }, value => Math.Max(VolumeToleranceMl, VolumeShare * value));
    }

    /// <summary>The least slope of any run of a channel in the box, by the way its water goes; null where no run reaches an outlet. Upright runs are left out.</summary>
    /// <param name="network">The network.</param>
    /// <param name="channel">Index of the channel in the network.</param>
    /// <param name="box">The attitudes.</param>
    /// <returns>Index of the run, and its fall.</returns>
    public static (int Run, WorstFall Fall)? ForSlope(FloorNetwork network, int channel, AttitudeBox box)
    {
        int first = network.FirstNode(channel);
        (int Run, WorstFall Fall)? best = null;
        for (int run = 0; run + 1 < network.Floors[channel].Points.Count; run++)
        {
            if (WorstSlope.Of(network, first - channel + run, box, best?.Fall.Slope.Ratio ?? double.PositiveInfinity) is WorstFall least) best = (run, least);
        }
        return best;
    }

    private static WorstPond Search(FloorNetwork network, AttitudeBox box, IReadOnlyList<int> parts, Func<StandingWater, double> value,
        Func<AttitudeBox, IReadOnlyList<int>, double, (double Bound, IReadOnlyList<int> Open)> bound, Func<double, double> tolerance)
    {
        double best = 0, pitch = (box.PitchMinDeg + box.PitchMaxDeg) / 2, roll = (box.RollMinDeg + box.RollMaxDeg) / 2;
        void Offer(double p, double q)
        {
            double v = value(network.In(UpVector.For(p, q)));
            if (v > best) (best, pitch, roll) = (v, p, q);
        }

        foreach (double p in new[] { box.PitchMinDeg, box.PitchMaxDeg, pitch })
        {
            foreach (double q in new[] { box.RollMinDeg, box.RollMaxDeg, roll }) Offer(p, q);
        }
        PriorityQueue<(AttitudeBox Box, IReadOnlyList<int> Parts), double> open = new();
        (double whole, IReadOnlyList<int> wet) = bound(box, parts, best);
        open.Enqueue((box, wet), -whole);
        int boxes = 1;
        while (open.TryDequeue(out (AttitudeBox Box, IReadOnlyList<int> Parts) next, out double negative))
        {
            AttitudeBox[] quarters = next.Box.Quarters();
            bool done = -negative <= best + tolerance(best) || quarters.Length == 1;
            if (done || boxes >= MostBoxes) return new(best, pitch, roll, Math.Max(best, -negative), done, boxes);
            foreach (AttitudeBox quarter in quarters)
            {
                boxes++;
                Offer((quarter.PitchMinDeg + quarter.PitchMaxDeg) / 2, (quarter.RollMinDeg + quarter.RollMaxDeg) / 2);
                (double most, IReadOnlyList<int> left) = bound(quarter, next.Parts, best);
                if (most > best + tolerance(best)) open.Enqueue((quarter, left), -most);
            }
        }
        return new(best, pitch, roll, best + tolerance(best), true, boxes);
    }

    /// <summary>For every point of the network, the most that its level can lie over the floor at one point, in any attitude of the box.</summary>
    private static double[] Bounds(FloorNetwork network, AttitudeBox box, int over)
    {
        Point3 at = network.Nodes[over].Point.Position;
        double[] floor = [.. network.Nodes.Select(n => box.GreatestHeight(n.Point.Position - at))];
        double[] lip = [.. network.Nodes.Select(n => n.LipMm is double h ? box.GreatestHeight(n.Point.Position + new Vector3(0, 0, h) - at) : double.PositiveInfinity)];
        return Flood.Levels(network, floor, lip);
    }

    /// <summary>True where water in the channel can reach neither an outlet nor a lip.</summary>
    private static bool IsUnbounded(FloorNetwork network, int channel)
    {
        double[] flat = new double[network.Nodes.Count];
        double[] level = Flood.Levels(network, flat, [.. network.Nodes.Select(n => n.LipMm ?? double.PositiveInfinity)]);
        (int first, int count) = Range(network, channel);
        return Enumerable.Range(first, count).Any(n => double.IsPositiveInfinity(level[n]));
    }

    private static (int First, int Count) Range(FloorNetwork network, int channel) => (network.FirstNode(channel), network.Floors[channel].Points.Count);
}
