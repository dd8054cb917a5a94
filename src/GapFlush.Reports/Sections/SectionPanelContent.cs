using GapFlush.Decisions;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Sections;

namespace GapFlush.Reports.Sections;

/// <summary>What is drawn and written of one section.</summary>
/// <param name="Picture">The section.</param>
/// <param name="Title">Where it is.</param>
/// <param name="Mark">Its verdict, or null.</param>
/// <param name="GapWords">The gap with its uncertainty and limits.</param>
/// <param name="FlushWords">The flush with its uncertainty and limits.</param>
/// <param name="Foot">Each side's own place, tilt and points; lines are divided by line feeds.</param>
/// <param name="Missing">Why there are no outlines, or blank.</param>
internal sealed record SectionPanelContent(SectionPicture Picture, string Title, Mark? Mark, string GapWords, string FlushWords, string Foot, string Missing)
{
    /// <summary>Puts a section in words.</summary>
    public static SectionPanelContent Of(FitPlan plan, DoorScan scan, SectionPicture picture)
    {
        StationSection s = picture.Station;
        LimitRow? gap = Row(Characteristic.Gap), flush = Row(Characteristic.Flush);
        Verdict[] verdicts = [.. new[] { Judge(s.GapMm, s.GapUncertaintyMm, gap), Judge(s.FlushMm, s.FlushUncertaintyMm, flush) }.OfType<Verdict>()];
        Mark? mark = s.GapMm is null || s.FlushMm is null ? Drawing.Mark.Missing : verdicts.Length == 0 ? null : verdicts.Contains(Verdict.Outside) ? Drawing.Mark.Outside : verdicts.Contains(Verdict.Undecided) ? Drawing.Mark.Undecided : Drawing.Mark.Within;
        string sides = s.SurroundEdgeMm is null && s.DoorEdgeMm is null ? "" : $"Edge/face: surround {Signed(s.SurroundEdgeMm)}/{Signed(s.SurroundFaceMm)}, door {Signed(s.DoorEdgeMm)}/{Signed(s.DoorFaceMm)}\n";
        string tilt = s.TiltRad is double t ? Invariant($"tilt {double.RadiansToDegrees(t):+0.0;\u22120.0;0.0}°; ") : "";
        int aside = picture.Points.Count(p => p.Role == SectionPointRole.SetAside);
        return new(picture, $"{scan.Door.Code} station {s.Station.Name}, {s.Station.Zone}", mark,
            $"gap {Invariant($"{s.GapMm:0.00} ± {2 * s.GapUncertaintyMm:0.00}")}{Band(gap)}", $"flush {Signed(s.FlushMm)} ± {Invariant($"{2 * s.FlushUncertaintyMm:0.00}")}{Band(flush)}",
            Invariant($"{sides}{tilt}{s.SurroundPoints} + {s.DoorPoints} points{(aside > 0 ? Invariant($", {aside} set aside") : "")}"), $"No section: {s.Reason ?? "no outlines were found"}.");

        LimitRow? Row(Characteristic c) => plan.Limits.For(c, scan.Door.Code, s.Station.Zone, s.Station.Name, scan.Stage);

        Verdict? Judge(double? value, double? uncertainty, LimitRow? row) => value is double v && row is not null ? Conformity.Judge(v, 2 * uncertainty, 2, row.Limits, plan.DecisionRule, row.Nominal).Verdict : null;
    }

    private static string Figure(double mm) => Invariant($"{mm:0.0##;\u22120.0##}");

    private static string Signed(double? mm) => mm is double v ? Invariant($"{v:+0.00;\u22120.00;0.00}") : "unknown";

    private static string Band(LimitRow? row) => row?.Limits switch
    {
        { Lower: double lower, Upper: double upper } => Invariant($" ({Figure(lower)} to {Figure(upper)})"),
        { Upper: double upper } => Invariant($" (at most {Figure(upper)})"),
        { Lower: double lower } => Invariant($" (at least {Figure(lower)})"),
        _ => "",
    };
}
