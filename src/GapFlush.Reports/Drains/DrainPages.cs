using System.Globalization;
using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Drains;

/// <summary>The drainage of one door as blocks of a report.</summary>
public static class DrainPages
{
    /// <summary>For each channel of a door a table of attitudes, what is wrong, a fall strip of the worst attitude and an attitude chart; then water beside the seal,
    /// water tests and the caution. None where the door has no channel.</summary>
    /// <param name="result">The result.</param>
    /// <param name="door">Code of the door; null for channels that belong to none.</param>
    public static IReadOnlyList<Block> Of(DrainResult result, string? door)
    {
        ChannelResult[] channels = [.. result.Channels.Where(c => c.Channel.Door == door)];
        if (channels.Length == 0) return [];
        List<Block> blocks = [];
        foreach (ChannelResult channel in channels) Channel(blocks, channel);
        if (door is not null)
        {
            blocks.Add(new Heading(2, "Water beside the seal"));
            IReadOnlyList<string> sentences = result.IngressOf(door);
            blocks.Add(sentences.Count == 1 ? new Paragraph(sentences[0]) : new Bullets(sentences));
            WaterTestAgainstPrediction[] tests = [.. result.WaterTests.Where(t => t.Test.Door == door)];
            if (tests.Length > 0)
            {
                blocks.Add(new Heading(2, "Water tests"));
                blocks.Add(new Bullets([.. tests.Select(t => t.Sentence)]));
            }
        }
        blocks.Add(new Paragraph(DrainResult.Caution, ParagraphRole.Caution));
        return blocks;
    }

    /// <summary>The attitude in which the channels of a door are worst: what a map shows. Null where none was judged.</summary>
    public static int? WorstAttitude(IEnumerable<ChannelResult> channels)
    {
        ChannelResult[] judged = [.. channels.Where(c => c.Attitudes.Count > 0)];
        return judged.Length == 0 ? null : Enumerable.Range(0, judged[0].Attitudes.Count).MaxBy(i =>
            (judged.Max(c => Rank(c.Attitudes[i].Verdict)), judged.Sum(c => c.Attitudes[i].Ingress.Count(r => r.IsRisk)), judged.Max(c => c.Attitudes[i].Water.PondDepthMm ?? double.MaxValue)));
    }

    private static void Channel(List<Block> blocks, ChannelResult channel)
    {
        blocks.Add(new Heading(2, $"Drain channel {channel.Channel.Name}"));
        if (channel.Reason is not null)
        {
            blocks.Add(new Paragraph($"Not judged: {channel.Reason}.", Mark: Mark.Missing));
            return;
        }
        string floor = channel.Attitudes[0].Water.Floor.IsMeasured ? "as measured" : "as the plan has it, not measured";
        blocks.Add(new Paragraph($"{char.ToUpperInvariant(FallStrip.Word(channel.Verdict)[0])}{FallStrip.Word(channel.Verdict)[1..]}, {floor}.", Mark: MarkOf(channel.Verdict)));
        blocks.Add(new Table(
            [new("Attitude", 3.3), new("Fall, mm", 1, Align.Right), new("Least slope, %", 1.2, Align.Right), new("Run", 1.5), new("Pond, mm", 1, Align.Right), new("Pond, mL", 1, Align.Right),
                new("Inflow, L/s", 1.1, Align.Right), new("Overflow, mm/h", 1.4, Align.Right), new("Verdict", 1.6)],
            [.. channel.Attitudes.Select(a => new Row([
                new(a.Attitude.Name), new(Number(a.Water.FallMm, "0.0")), new(Number(a.Water.LeastSlopePercent, "0.00")), new(a.Water.Runs.MinBy(r => r.SlopePercent ?? double.MaxValue) is ChannelRun least ? $"{least.From} to {least.To}" : ""),
                new(Number(a.Water.PondDepthMm, "0.00")), new(Number(a.Water.PondVolumeMl, "0.0")), new(Number(a.Flow.InflowLPerS, "0.0000")), new(Number(a.Flow.OverflowRainMmPerH, "0")),
                new(FallStrip.Word(a.Verdict), MarkOf(a.Verdict))], Strong: a.Verdict == Verdict.Outside))]));
        List<string> lines =
        [
            .. channel.Attitudes.SelectMany(a => a.Reasons.Select(r => $"{a.Attitude.Name}: {r}")),
            .. channel.BoxReason is string between ? new[] { between } : [],
            .. channel.Remarks,
        ];
        if (lines.Count > 0) blocks.Add(new Bullets(lines));
        ChannelInAttitude worst = channel.Attitudes.OrderByDescending(a => Rank(a.Verdict)).ThenByDescending(a => a.Water.PondDepthMm ?? double.MaxValue).ThenBy(a => a.Water.LeastSlopePercent).First();
        blocks.Add(new Figure(FallStrip.Draw(worst), $"Fall strip of {channel.Channel.Name} in its worst attitude, {worst.Attitude.Name}.", OwnPage: false));
        if (AttitudeChart.Draw(channel) is Sheet chart) blocks.Add(new Figure(chart, $"Where {channel.Channel.Name} drains and where water stands, by pitch and roll.", OwnPage: false));
    }

    internal static Mark MarkOf(Verdict verdict) => verdict switch { Verdict.Within => Mark.Within, Verdict.Outside => Mark.Outside, Verdict.Undecided => Mark.Undecided, _ => Mark.Missing };

    private static int Rank(Verdict verdict) => verdict switch { Verdict.Outside => 3, Verdict.Missing => 2, Verdict.Undecided => 1, _ => 0 };

    private static string Number(double? value, string format) => value is double number ? number.ToString(format, CultureInfo.InvariantCulture) : "-";
}
