using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;
using GapFlush.Reports.Pages;

namespace GapFlush.Reports.Studies;

/// <summary>What the reports of all studies over many builds share: the answer first, figures the same way everywhere.</summary>
internal static class StudyPage
{
    public static Report Report(FitPlan plan, string headline, string what, IReadOnlyList<Block> blocks) =>
        new(headline + ".", $"{what}; plan {plan.Name}{(plan.Issue is string issue ? $", issue {issue}" : "")}; {plan.AircraftType}", TitleBlock.Caution, blocks);

    /// <summary>A number with so many decimals; a dash where there is none.</summary>
    public static string Figure(double? value, int decimals) => value is double v && double.IsFinite(v) ? v.ToString("F" + decimals) : "-";

    /// <summary>A number with its sign.</summary>
    public static string Signed(double value, int decimals = 2)
    {
        string text = value.ToString((decimals == 3 ? "+0.000;-0.000" : "+0.00;-0.00") + ";0");
        return text is "+0.00" or "-0.00" ? "0.00" : text is "+0.000" or "-0.000" ? "0.000" : text;
    }

    public static string Range(Statistics.Interval? interval, int decimals) => interval is Statistics.Interval i ? $"{Figure(i.Low, decimals)} to {Figure(i.High, decimals)}" : "-";

    /// <summary>A share in per cent: enough decimals to tell a small one from none.</summary>
    public static string Percent(double? share) => share is not double s ? "-" : s == 0 ? "0" : s < 1e-5 ? "< 0.001" : (100 * s).ToString(s < 0.001 ? "0.000" : s < 0.1 ? "0.00" : "0.0");

    /// <summary>What the short form of <see cref="Moulds"/> means.</summary>
    public const string MouldsKey = "Moulds: revision of the door mould / of the surround mould.";

    /// <summary>Mould revisions in short; a dash where they are not told apart.</summary>
    public static string Moulds(string? door, string? surround) => door is null && surround is null ? "-" : $"{door ?? "?"} / {surround ?? "?"}";

    /// <summary>The first few of many names.</summary>
    public static string Few(IReadOnlyList<string> names, int most = 6) =>
        names.Count > most + 1 ? Invariant($"{string.Join(", ", names.Take(most))} and {names.Count - most} more") : string.Join(", ", names);

    public static IEnumerable<Block> Figures(IEnumerable<Sheet> sheets) => sheets.Select(s => new Figure(s, s.Title));

    public static Paragraph Answer(string text, Mark? mark = null) => new(text, ParagraphRole.Answer, mark);
}
