using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Registration;

/// <summary>Registers a scan by named targets, and doubts the targets.</summary>
/// <remarks>
/// <para>Method: weighted rigid fit (<see cref="PointFit"/>, weights 1/sigma²), sigma the standard uncertainty along each axis. One or two targets that the others surely contradict are left out, and
/// said to be (<see cref="TargetDoubts"/>). Uncertainty: inverse of the normal matrix, times the variance that the residuals show where they show more than sigma. METHOD.md, eq. 4, 5 and 15.</para>
/// <para>Refused: fewer than three targets, targets on one line, targets that fit far better mirrored (the other hand), in another unit, or with two names swapped; targets that contradict one another
/// without its being sure which is wrong, or with fewer than four others.</para>
/// </remarks>
public static class TargetRegistration
{
    // Common practice, no source: residuals of so many sigmas are no noise.
    private const double Gross = 5;

    /// <summary>Where the plan gives no sigma.</summary>
    private const double UsualSigmaMm = 0.05;

    /// <summary>Fits the scan's targets to the plan's datums.</summary>
    /// <param name="targets">Datum, and its place in the scan's axes, mm.</param>
    /// <param name="refusal">Why there is none.</param>
    public static ScanRegistration? Fit(IReadOnlyList<(Datum Datum, Point3 InScan)> targets, out string refusal)
    {
        refusal = Invariant($"three targets that are not on one line are needed; {targets.Count} were given");
        if (targets.Count < 3) return null;
        TargetSet all = new([.. targets.Select(t => t.Datum.Name)], [.. targets.Select(t => t.InScan)], [.. targets.Select(t => t.Datum.Position)], [.. targets.Select(t => t.Datum.SigmaMm ?? UsualSigmaMm)]);
        PointFit fit = all.Fit;
        refusal = "the targets lie on one line, so the turn about it is not held; add a target to the side of it";
        if (!fit.IsDetermined) return null;
        PointFit mirrored = PointFit.FitMirrored(all.From, all.To, all.Weights);
        refusal = Invariant($"the targets fit with {fit.Rms:0.00} mm as they are and with {mirrored.Rms:0.00} mm mirrored: they are of the other hand, or an axis of the scan has the wrong sign");
        if (fit.Rms > 2 * Gross * all.UsualSigma && mirrored.Rms < fit.Rms / 5) return null;
        PointFit scaled = PointFit.Fit(all.From, all.To, all.Weights, withScale: true);
        if (fit.Rms > 2 * Gross * all.UsualSigma && scaled.Rms < fit.Rms / 5 && Math.Abs(scaled.Scale - 1) > 0.01)
        {
            refusal = Invariant($"the targets fit only when the scan is stretched {scaled.Scale:0.####} times; {(Math.Abs(scaled.Scale - 25.4) < 0.5 ? "it is in inches: give --unit in" : Math.Abs(scaled.Scale - 1000) < 20 ? "it is in metres: give --unit m" : "check its unit")}");
            return null;
        }
        if (fit.Rms > Gross * all.UsualSigma && TargetDoubts.Swapped(all) is (string a, string b, double after))
        {
            refusal = Invariant($"the targets fit to {fit.Rms:0.00} mm, and to {after:0.00} mm when {a} and {b} change places: their names are swapped");
            return null;
        }
        TargetDoubts doubts = TargetDoubts.Of(all);
        TargetSet good = doubts.Good;
        if (Math.Sqrt(good.Variance) > Gross || doubts.Refusal is not null)
        {
            refusal = doubts.Refusal ?? Invariant($"the targets contradict one another: they fit to {good.Fit.Rms:0.00} mm, where their sigma lets one expect {all.UsualSigma:0.00} mm ({all.Residuals}), and no one of them is surely the wrong one; measure them again{(targets.Count < 5 ? ", and five or more, so that a wrong one shows" : ", and look whether any moved")}");
            return null;
        }
        List<string> remarks = [.. doubts.LeftOut, Invariant($"{good.Count} targets{(good.Count < all.Count ? Invariant($" of {all.Count}") : "")}, residual {good.Fit.Rms:0.000} mm RMS; {good.Residuals}")];
        if (good.Variance > 1 && ChiSquareDistribution.UpperTail(good.Variance * good.Freedom, good.Freedom) < 0.01)
            remarks.Add(Invariant($"the targets fit {Math.Sqrt(good.Variance):0.0} times worse than their sigma lets one expect; the uncertainty is taken from what they show"));
        if (good.Count == 3) remarks.Add("three targets leave nothing to check one of them by; give four or more");
        // The spread square to the widest line holds the turn about it.
        (double wide, double narrow) = good.Spread;
        if (good.IsNarrow) remarks.Add(Invariant($"the targets spread {wide:0} mm one way and only {narrow:0} mm the other: the turn about their long line is weakly held"));
        refusal = "";
        MotionUncertainty uncertainty = good.Uncertainty;
        return new(good.Fit.Motion, "targets", good.To.Max(uncertainty.Worst), remarks) { Uncertainty = uncertainty };
    }
}
