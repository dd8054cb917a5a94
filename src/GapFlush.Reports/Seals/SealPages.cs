using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Seals;

namespace GapFlush.Reports.Seals;

/// <summary>The seal of one door as blocks of a report: the answer first, then leak runs, load, what could hide, ageing, the strip, and the caution.</summary>
public static class SealPages
{
    /// <summary>The blocks.</summary>
    /// <param name="seal">The seal.</param>
    /// <param name="rows">The judged rows of the door.</param>
    /// <param name="stage">The stage it was judged at, or null.</param>
    public static IReadOnlyList<Block> Of(DoorSeal seal, IReadOnlyList<ResultRow> rows, Stage? stage)
    {
        List<Block> blocks = [new Heading(2, "Seal")];
        if (!seal.HasSeal)
        {
            blocks.Add(new Paragraph($"Not judged: seals.csv gives no seal for door {seal.Door.Code}.", ParagraphRole.Body, Mark.Missing));
            return blocks;
        }
        VerdictCounts counts = VerdictCounts.Of(rows.Where(r => r.Measurement.Characteristic == Characteristic.Compression));
        Mark? mark = counts.Total == 0 ? null : counts.Verdict switch { FitVerdict.Within => Mark.Within, FitVerdict.Outside => Mark.Outside, FitVerdict.Undecided => Mark.Undecided, _ => Mark.Missing };
        blocks.Add(new Paragraph($"{Sentence(seal.ShortWords)}{(counts.Total > 0 ? $" Compression against its limits: {counts.Words}." : "")}", ParagraphRole.Body, mark));
        List<string> lines = [.. seal.Leaks.Select((l, i) => $"{Name(l, i, seal.Leaks.Count)}: {l.Words}.")];
        lines.AddRange(seal.Ring.Above.Select(r => Invariant($"Pressed above its most over {r.LengthMm:0} mm, up to {r.ExtremePercent:0.0} %: it wears early and loads the door.")));
        lines.AddRange(new[] { seal.ClosingLoad, seal.HandleForce }.Where(m => m.Value is not null || rows.Any(r => r.Measurement.Characteristic == m.Characteristic)).Select(m => Load(m, rows)));
        if (seal.HandleForce.Value is not null) lines.Add("Friction, the latch ramp and trapped air come on top of the handle force.");
        if (seal.Predicted.Count > 0) lines.Add($"Predicted at {Inspection.Words.Runs(seal.Predicted, [.. seal.Door.Stations.Select(s => s.Name)])}, where no land gap was read: from flush or gap, the plan's nominal and how the door hangs. A land or carrier that sits wrong there does not show.");
        if (seal.Unknown.Count > 0) lines.Add($"Not known at {Inspection.Words.Runs(seal.Unknown, [.. seal.Door.Stations.Select(s => s.Name)])}.");
        if (seal.HidingWords is string hiding) lines.Add(hiding);
        if (stage?.Seal == "removed") lines.Add($"At stage {stage.Name} the seal is removed: this is what it will be when it is fitted and the door stays where it is.");
        if (seal.AgedRing is SealRing aged)
        {
            lines.Add($"When the seal has taken the set that the plan expects: {AgedWords(seal, aged)}.");
            lines.AddRange(seal.AgedLeaks.Select((l, i) => $"Then, {Name(l, i, seal.AgedLeaks.Count).ToLowerInvariant()}: {l.Words}."));
        }
        blocks.Add(new Bullets(lines));
        blocks.Add(new Figure(SealStrip.Draw(seal), $"Seal strip of door {seal.Door.Code}: compression against distance round the door.", OwnPage: false));
        blocks.Add(new Paragraph(DoorSeal.Caution, ParagraphRole.Caution));
        return blocks;
    }

    private static string Name(LeakRun leak, int index, int count) => (leak.IsPath ? "Leak path" : "Leak run") + (count > 1 ? Invariant($" {index + 1}") : "");

    private static string AgedWords(DoorSeal seal, SealRing aged)
    {
        double[] known = [.. seal.AgedStations!.Select(s => s.CompressionPercent).OfType<double>()];
        return known.Length == 0 ? "not known"
            : Invariant($"least {known.Min():0.0} %, mean {aged.MeanPercent:0.0} %") + (aged.ClosingLoadN is double load ? Invariant($", closing load {load:0} N") : "")
            + (aged.Below.Count == 0 ? ", no leak run" : $", {(aged.Below.Count == 1 ? "one leak run" : Invariant($"{aged.Below.Count} leak runs"))}");
    }

    private static string Load(Measurement m, IReadOnlyList<ResultRow> rows)
    {
        ResultRow? row = rows.FirstOrDefault(r => r.Measurement.Characteristic == m.Characteristic);
        string name = Sentence(m.Characteristic.Words)[..^1];
        if (m.Value is not double value) return $"{name}: not known, {m.Reason}.";
        string uncertainty = m.ExpandedUncertainty is double u ? Invariant($" ± {u:0.0} N") : " N, uncertainty not known";
        return Invariant($"{name} {value:0.0}{uncertainty}")
            + (row?.Limits is Limits limits ? $", {Inspection.Words.Band(limits)} N: {ResultsFile.Word(row.Verdict)}" : ", no limit given") + (m.Reason is null ? "" : $" ({m.Reason})") + ".";
    }

    private static string Sentence(string words) => char.ToUpperInvariant(words[0]) + words[1..] + ".";
}
