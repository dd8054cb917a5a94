using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Registration;

/// <summary>Registers a scan by named targets, and doubts the targets.</summary>
/// <remarks>
/// <para>Method: weighted rigid fit (<see cref="PointFit"/>, weights 1/sigma²); each target left out in turn, and each pair of names swapped. METHOD.md, eq. 4 and 5.</para>
/// <para>Refused: fewer than three targets, targets on one line, targets that fit far better mirrored (the other hand), or far better with two names swapped.</para>
/// </remarks>
public static class TargetRegistration
{
    // Common practice, no source: a target is bad where it misses the place the others give it by this many times what is left among them.
    private const double BadTarget = 5;

    /// <summary>Where the plan gives no sigma.</summary>
    private const double UsualSigmaMm = 0.05;

    /// <summary>Fits the scan's targets to the plan's datums.</summary>
    /// <param name="targets">Datum, and its place in the scan's axes, mm.</param>
    /// <param name="refusal">Why there is none.</param>
    public static ScanRegistration? Fit(IReadOnlyList<(Datum Datum, Point3 InScan)> targets, out string refusal)
    {
        refusal = Invariant($"three targets that are not on one line are needed; {targets.Count} were given");
        if (targets.Count < 3) return null;
        Point3[] from = [.. targets.Select(t => t.InScan)], to = [.. targets.Select(t => t.Datum.Position)];
        double[] sigma = [.. targets.Select(t => t.Datum.SigmaMm ?? UsualSigmaMm)], weights = [.. sigma.Select(s => 1 / (s * s))];
        PointFit fit = PointFit.Fit(from, to, weights);
        refusal = "the targets lie on one line, so the turn about it is not held; add a target to the side of it";
        if (!fit.IsDetermined) return null;
        double usual = Math.Sqrt(sigma.Average(s => s * s));
        PointFit mirrored = PointFit.FitMirrored(from, to, weights);
        refusal = Invariant($"the targets fit with {fit.Rms:0.00} mm as they are and with {mirrored.Rms:0.00} mm mirrored: they are of the other hand, or an axis of the scan has the wrong sign");
        if (fit.Rms > 10 * usual && mirrored.Rms < fit.Rms / 5) return null;
        PointFit scaled = PointFit.Fit(from, to, weights, withScale: true);
        if (fit.Rms > 10 * usual && scaled.Rms < fit.Rms / 5 && Math.Abs(scaled.Scale - 1) > 0.01)
        {
            refusal = Invariant($"the targets fit only when the scan is stretched {scaled.Scale:0.####} times; {(Math.Abs(scaled.Scale - 25.4) < 0.5 ? "it is in inches: give --unit in" : Math.Abs(scaled.Scale - 1000) < 20 ? "it is in metres: give --unit m" : "check its unit")}");
            return null;
        }
        List<string> remarks = [Invariant($"{targets.Count} targets, residual {fit.Rms:0.000} mm RMS; {string.Join(", ", targets.Select((t, i) => Invariant($"{t.Datum.Name} {fit.Residuals[i]:0.000}")))}")];
        if (fit.Rms > 5 * usual && Swap() is (string a, string b, double after))
        {
            refusal = Invariant($"the targets fit with {fit.Rms:0.00} mm, and with {after:0.00} mm when {a} and {b} change places: their names are swapped");
            return null;
        }
        if (targets.Count >= 4)
        {
            for (int i = 0; i < targets.Count; i++)
            {
                int left = i;
                int[] rest = [.. Enumerable.Range(0, targets.Count).Where(k => k != left)];
                PointFit without = PointFit.Fit([.. rest.Select(k => from[k])], [.. rest.Select(k => to[k])], [.. rest.Select(k => weights[k])]);
                if (!without.IsDetermined) continue;
                double miss = without.Motion.Of(from[i]).DistanceTo(to[i]), others = Math.Max(without.Rms * Math.Sqrt(rest.Length / (double)Math.Max(1, rest.Length - 2)), usual);
                if (i == fit.Worst && miss > BadTarget * others)
                    remarks.Add(Invariant($"target {targets[i].Datum.Name} lies {miss:0.00} mm from where the {rest.Length} others put it, which agree within {without.Rms:0.000} mm; check it or leave it out"));
            }
        }
        else
        {
            remarks.Add("three targets leave nothing to check one of them by; give four or more");
        }
        // The spread square to the widest line holds the turn about it.
        double narrow = Math.Sqrt(fit.SingularValues[1]), wide = Math.Sqrt(fit.SingularValues[0]);
        if (narrow < 0.1 * wide) remarks.Add(Invariant($"the targets spread {wide:0} mm one way and only {narrow:0} mm the other: the turn about their long line is weakly held"));
        double noise = Math.Max(usual, fit.Rms * Math.Sqrt(targets.Count / Math.Max(1.0, targets.Count - 2)));
        refusal = "";
        return new(fit.Motion, "targets", noise * Math.Sqrt(2.0 / targets.Count), remarks);

        (string, string, double)? Swap()
        {
            (string, string, double)? best = null;
            for (int i = 0; i < to.Length; i++)
            {
                for (int k = i + 1; k < to.Length; k++)
                {
                    Point3[] swapped = [.. to];
                    (swapped[i], swapped[k]) = (swapped[k], swapped[i]);
                    double rms = PointFit.Fit(from, swapped, weights).Rms;
                    if (rms < fit.Rms / 5 && (best is null || rms < best.Value.Item3)) best = (targets[i].Datum.Name, targets[k].Datum.Name, rms);
                }
            }
            return best;
        }
    }
}
