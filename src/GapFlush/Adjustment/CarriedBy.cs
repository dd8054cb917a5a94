using GapFlush.Hanging;
using GapFlush.Plan;

namespace GapFlush.Adjustment;

/// <summary>Which side of the seam carries what no move cures, from a scan that saw both sides for themselves. How the door hangs is left out: that is what moves cure.</summary>
/// <remarks>METHOD.md, eq. 17. The parts are those of <see cref="DeviationShare"/>: contributions to the deviation of the gap or flush, so that a positive part opens the gap or makes the door prouder.</remarks>
/// <param name="Characteristic">Gap or flush: what the value that stays outside is made of.</param>
/// <param name="DoorMm">What the door's shape contributes, mm.</param>
/// <param name="OpeningMm">What the opening's shape contributes, mm.</param>
/// <param name="EdgeMm">What edge radius, draft and tilt contribute, mm.</param>
/// <param name="ExpandedUncertaintyMm">Expanded uncertainty of the value, mm; null where it is not known.</param>
public sealed record CarriedBy(Characteristic Characteristic, double DoorMm, double OpeningMm, double EdgeMm, double? ExpandedUncertaintyMm)
{
    /// <summary>What of the deviation no hinge or latch has to do with, mm.</summary>
    public double ShapeMm => DoorMm + OpeningMm + EdgeMm;

    /// <summary>The sides whose part goes the way of the shape and is larger than the uncertainty: <c>door</c>, <c>opening</c>, <c>edge</c>; none where nothing is proven.</summary>
    public IReadOnlyList<string> Proven => ExpandedUncertaintyMm is not double u ? []
        : [.. new[] { ("door", DoorMm), ("opening", OpeningMm), ("edge", EdgeMm) }.Where(p => p.Item2 * Math.Sign(ShapeMm) > u).Select(p => p.Item1)];

    /// <summary>The cause of a value that stays outside; null where the scan does not show it (a zone, a seal, a station that could not be sectioned).</summary>
    public static CarriedBy? Of(StaysOutside stays, DeviationShares shares)
    {
        Characteristic what = stays.Row.Measurement.Characteristic;
        Characteristic? seen = what == Characteristic.Gap || what == Characteristic.Flush ? what : what == Characteristic.StepForward || what == Characteristic.StepAft ? Characteristic.Flush : null;
        return shares.Shares.FirstOrDefault(s => s.Station == stays.Row.Measurement.Station && s.Characteristic == seen) is DeviationShare share
            ? new(share.Characteristic, share.DoorMm, share.OpeningMm, share.EdgeMm, share.ExpandedUncertaintyMm) : null;
    }

    /// <summary>The sides in words and what it is a matter for: "door edge stands 0.61 mm into the gap, opening edge set back 0.05 mm (U 0.08): matter for the door's edge or its mould".</summary>
    public string Words
    {
        get
        {
            bool isGap = Characteristic == Characteristic.Gap;
            string door = isGap ? Side("door edge", DoorMm, "set back {0}", "stands {0} into the gap") : Side("door skin", DoorMm, "{0} proud", "{0} low");
            string opening = isGap ? Side("opening edge", OpeningMm, "set back {0}", "stands {0} into the gap") : Side("surround skin", OpeningMm, "{0} low", "{0} proud");
            string edge = Math.Abs(EdgeMm) >= 0.005 ? Invariant($", radius, draft and tilt {EdgeMm:+0.00;-0.00} mm") : "";
            string uncertainty = ExpandedUncertaintyMm is double u ? Invariant($"U {u:0.00}") : "uncertainty unknown";
            IReadOnlyList<string> proven = Proven;
            string matter = proven.Count == 0 ? "neither side alone is proven to carry it"
                : "matter for " + string.Join(" and ", proven.Select(p => p switch { "door" => "the door's edge or its mould", "opening" => "the opening or its mould", _ => "the form of the edges" }));
            return $"{door}, {opening}{edge} ({uncertainty}): {matter}";

            static string Side(string what, double mm, string above, string below) => Math.Abs(mm) < 0.005 ? $"{what} as nominal"
                : $"{what} {string.Format(System.Globalization.CultureInfo.InvariantCulture, mm > 0 ? above : below, Invariant($"{Math.Abs(mm):0.00} mm"))}";
        }
    }
}
