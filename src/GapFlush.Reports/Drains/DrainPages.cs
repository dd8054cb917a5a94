using System.Globalization;
using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Drains;

/// <summary>The drainage of one door as blocks of a report.</summary>
public static class DrainPages
{
    /// <summary>A table of attitudes, what is wrong, a fall strip of the worst attitude and an attitude chart for each channel; none where the door has no channel.</summary>
    /// <param name="result">The result.</param>
    /// <param name="door">Code of the door.</param>
    public static IReadOnlyList<Block> Of(DrainResult result, string door)
    {
        List<Block> blocks = [];
        foreach (ChannelResult channel in result.Of(door))
        {
            if (channel.Reason is not null)
            {
                blocks.Add(new Paragraph($"Channel {channel.Channel.Name}: not judged, {channel.Reason}."));
                continue;
            }
            ChannelInAttitude worst = channel.Attitudes.OrderByDescending(a => Rank(a.Verdict)).ThenByDescending(a => a.Water.PondDepthMm ?? double.MaxValue).ThenBy(a => a.Water.LeastSlopePercent).First();
            blocks.Add(new Paragraph($"Channel {channel.Channel.Name}: {FallStrip.Mark(channel.Verdict)} {FallStrip.Word(channel.Verdict)}."));
            List<string> lines =
            [
                .. channel.Attitudes.Select(a => Invariant($"{a.Attitude.Name}: {FallStrip.Mark(a.Verdict)} {FallStrip.Word(a.Verdict)}; fall {Figure(a.Water.FallMm, "0.0")} mm, least slope {Figure(a.Water.LeastSlopePercent, "0.00")} %, water {Figure(a.Water.PondDepthMm, "0.0")} mm deep, {Figure(a.Water.PondVolumeMl, "0.0")} mL")),
                .. channel.Attitudes.SelectMany(a => a.Reasons.Select(r => $"{a.Attitude.Name}: {r}")),
                .. channel.BoxReason is string between ? new[] { between } : [],
                .. channel.Attitudes.SelectMany(a => a.Ingress.Where(i => i.IsKnown).Select(i => $"{a.Attitude.Name}: {i.Sentence}")),
                .. channel.Remarks,
            ];
            blocks.Add(new Bullets(lines));
            blocks.Add(new Figure(FallStrip.Draw(worst), $"Fall strip of {channel.Channel.Name} in its worst attitude, {worst.Attitude.Name}.", OwnPage: false));
            if (AttitudeChart.Draw(channel) is Drawing.Sheet chart) blocks.Add(new Figure(chart, $"Where {channel.Channel.Name} drains and where water stands, by pitch and roll.", OwnPage: false));
        }
        if (blocks.Count > 0) blocks.Add(new Paragraph(DrainResult.Caution, ParagraphRole.Caution));
        return blocks;
    }

    private static int Rank(Verdict verdict) => verdict switch { Verdict.Outside => 3, Verdict.Missing => 2, Verdict.Undecided => 1, _ => 0 };

    private static string Figure(double? value, string format) => value is double number ? number.ToString(format, CultureInfo.InvariantCulture) : "-";
}
