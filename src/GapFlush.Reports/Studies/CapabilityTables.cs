using GapFlush.Capability;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Studies;

/// <summary>The tables of figures of a capability report.</summary>
internal static class CapabilityTables
{
    /// <summary>What the letters of the column Method mean.</summary>
    public const string MethodKey = "Method: N normal, tested; N? normal assumed, too few builds to test; P percentiles of a fitted distribution; F no distribution fits, the share outside is all that is said; Z zone or door, variance between and within builds apart; - no spread. "
        + "Triangle: not in control, does not predict. s within: from one build to the next, for a zone or door within builds; s overall: over all builds. Outside: expected share, %; seen: values that were outside. More builds: how many like these it takes to show a Ppk of 1.33 with 95 % confidence; a dash where mean or spread must change first.";

    /// <summary>The place within its door.</summary>
    public static string Place(CapabilityLine l) => l.Key.Station ?? l.Key.Zone ?? "whole door";

    /// <summary>The place with its characteristic.</summary>
    public static string Named(CapabilityLine l) => $"{l.Key.Station ?? l.Key.Zone} {l.Key.Characteristic.Words}".Trim();

    /// <summary>The lowest of all doors, for the first sheet.</summary>
    public static Table Lowest(IReadOnlyList<CapabilityLine> lines) => new(
        [new("Place", 1.2), new("What", 1.6), new("Limits", 1.3), new("Builds", 0.7, Align.Right), new("Mean", 0.9, Align.Right), new("s overall", 0.8, Align.Right), new("Ppk", 0.7, Align.Right), new("95 % interval", 1.5, Align.Right), new("Outside, %", 0.9, Align.Right), new("more builds", 1, Align.Right)],
        [.. lines.Select(l => new Row([new Cell(l.Key.PlaceWords, l.Capability.InControl == false ? Mark.Doubt : null), l.Key.Characteristic.Words, Limits(l), Invariant($"{l.Capability.Count}"), StudyPage.Figure(l.Capability.Mean, 3), StudyPage.Figure(l.Capability.SdOverall, 3), StudyPage.Figure(l.Capability.Ppk, 2), StudyPage.Range(l.Capability.PpkInterval, 2), StudyPage.Percent(l.Capability.FractionOutside), Goal(l)]))],
        "Triangle: not in control, does not predict. Outside: expected share of builds outside the limits. More builds: how many like these it takes to show a Ppk of 1.33; a dash where mean or spread must change first.");

    /// <summary>Every index. What is alike for all stands above the table and not in every row.</summary>
    public static Table Indices(IReadOnlyList<CapabilityLine> lines, bool named)
    {
        bool outside = lines.Any(l => l.Capability.SeenOutside > 0);
        bool limits = lines.Select(l => l.Capability.Limits).Distinct().Count() > 1, builds = lines.Select(l => l.Capability.Count).Distinct().Count() > 1;
        List<string> alike = [];
        if (!limits) alike.Add(lines[0].Capability.Limits is null ? "The plan gives no limits." : $"Limits {Limits(lines[0])} {lines[0].Key.Characteristic.Unit}.");
        if (!builds) alike.Add(Invariant($"{lines[0].Capability.Count} builds."));
        List<Column> columns = [new("Place", 1)];
        if (limits) columns.Add(new("Limits", 1.2));
        if (builds) columns.Add(new("Builds", 0.6, Align.Right));
        columns.AddRange([new("Mean", 0.9, Align.Right), new("s within", 0.9, Align.Right), new("s overall", 0.9, Align.Right), new("Cpk", 0.7, Align.Right), new("Ppk", 0.7, Align.Right), new("95 % interval", 1.5, Align.Right), new("Outside, %", 0.9, Align.Right)]);
        if (outside) columns.Add(new("seen", 0.7, Align.Right));
        columns.AddRange([new("Method", 0.7), new("more builds", 0.9, Align.Right)]);
        return new(columns, [.. lines.Select(l =>
        {
            ProcessCapability c = l.Capability;
            List<Cell> cells = [new Cell(named ? Named(l) : Place(l), c.InControl == false ? Mark.Doubt : null)];
            if (limits) cells.Add(Limits(l));
            if (builds) cells.Add(Invariant($"{c.Count}"));
            cells.AddRange([StudyPage.Figure(c.Mean, 3), StudyPage.Figure(c.SdWithin, 3), StudyPage.Figure(c.SdOverall, 3), StudyPage.Figure(c.Cpk, 2), StudyPage.Figure(c.Ppk, 2), StudyPage.Range(c.PpkInterval, 2), StudyPage.Percent(c.FractionOutside)]);
            if (outside) cells.Add(Invariant($"{c.SeenOutside}"));
            cells.AddRange([Letter(c), new Cell(Goal(l), c.GoalIsShown ? Mark.Within : null)]);
            return new Row(cells);
        })], alike.Count > 0 ? string.Join(" ", alike) : null);
    }

    /// <summary>How each figure was come by.</summary>
    public static Table Methods(IReadOnlyList<CapabilityLine> lines, bool named) => new(
        [new("Place", 1.2), new("Method", 4), new("Normal? A², p", 1.5), new("Expected outside, %, 95 %", 1.8, Align.Right), new("99 % of builds, k", 2.1)],
        [.. lines.Select(l =>
        {
            ProcessCapability c = l.Capability;
            string between = c.SdBetweenBuilds is double b ? Invariant($"; s between builds {b:0.000}, within {c.SdWithin:0.000}") : "", note = l.Note is string n ? $"; {n}" : "";
            return new Row([named ? Named(l) : Place(l), c.Method + between + note, c.NormalityA2 is double a ? Invariant($"{a:0.00}, {c.NormalityProbability:0.000}") : "not tested",
                c.FractionOutsideInterval is { } i ? $"{StudyPage.Percent(i.Low)} to {StudyPage.Percent(i.High)}" : "-", c.ToleranceInterval is { } t ? Invariant($"{t.Low:0.00} to {t.High:0.00}, k {c.ToleranceFactor:0.00}") : "-"]);
        })], "A², p: Anderson-Darling. 99 % of builds: the interval mean ± k s that holds 99 % of builds with 95 % confidence, normal values only.");

    private static string Limits(CapabilityLine l) => Inspection.Words.Band(l.Capability.Limits);

    // How many more builds like these show a Ppk of 1.33.
    private static string Goal(CapabilityLine l) => l.Capability.GoalIsShown ? "shown" : l.Capability.CountForGoal is int n ? Invariant($"{(l.Capability.SdBetweenBuilds is null ? "" : "about ")}{Math.Max(1, n - l.Capability.Count)}") : l.Capability.Ppk >= ProcessCapability.Goal ? "many" : "-";

    private static string Letter(ProcessCapability c) => !(c.SdOverall > 0) ? "-"
        : c.SdBetweenBuilds is not null ? c.Ppk is null && c.Limits is not null ? "F" : "Z"
        : c.Distribution is not FittedDistribution d ? "F"
        : d.Family != DistributionFamily.Normal ? "P"
        : c.Count < ProcessCapability.LeastToTest ? "N?" : "N";
}
