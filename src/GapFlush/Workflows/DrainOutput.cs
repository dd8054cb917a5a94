using System.Globalization;
using System.Text;
using System.Text.Json;
using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Inputs;

namespace GapFlush.Workflows;

/// <summary>A <see cref="DrainResult"/> as text for people and as JSON for programs.</summary>
public static class DrainOutput
{
    /// <summary>The result as a page of text.</summary>
    public static string Text(DrainResult result)
    {
        StringBuilder text = new();
        text.Append(Invariant($"{result.Plan.Name}: drain channels {(result.LevelsSource is null ? "as the plan has them (nominal)" : $"{(result.Build is null ? "" : $"of build {result.Build} ")}as measured ({result.LevelsSource})")}"));
        text.Append(result.Rain is RainIntensity rain ? Invariant($", rain {rain.MmPerH:0.#} mm/h\n") : "\n");
        foreach (ChannelResult channel in result.Channels) Channel(text, channel);
        text.Append("\nWater beside the seal\n");
        foreach (string sentence in result.IngressSentences) text.Append($"  {sentence}\n");
        if (result.WaterTests.Count > 0) text.Append("\nWater tests\n");
        foreach (WaterTestAgainstPrediction test in result.WaterTests) text.Append($"  {test.Sentence}\n");
        int outside = Count(Verdict.Outside), undecided = Count(Verdict.Undecided), missing = Count(Verdict.Missing);
        text.Append(Invariant($"\n{result.Channels.Count} channels in {result.Attitudes.Count} attitudes: {(result.AllWithin ? "all within." : $"{outside} outside, {undecided} undecided, {missing} not judged, {Count(Verdict.Within)} within.")}\n"));
        text.Append($"{DrainResult.Caution}\n");
        return text.ToString();

        int Count(Verdict verdict) => result.Channels.Count(c => c.Verdict == verdict);
    }

    /// <summary>The result as a JSON list: an object for each channel and attitude.</summary>
    public static string Json(DrainResult result)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream, JsonForm.Indented)) WriteJson(json, result);
        return Encoding.UTF8.GetString(stream.ToArray()) + "\n";
    }

    /// <summary>Writes that list.</summary>
    public static void WriteJson(Utf8JsonWriter json, DrainResult result)
    {
        json.WriteStartArray();
        foreach (ChannelResult channel in result.Channels)
        {
            if (channel.Reason is not null)
            {
                foreach (Plan.Attitude attitude in result.Attitudes) Missing(json, channel, attitude.Name);
            }
            foreach (ChannelInAttitude at in channel.Attitudes) Object(json, channel, at, result.WaterTests);
        }
        json.WriteEndArray();
    }

    /// <summary>A verdict in one word, as files have it.</summary>
    internal static string Word(Verdict verdict) => verdict.ToString().ToLowerInvariant();

    private static void Channel(StringBuilder text, ChannelResult channel)
    {
        text.Append(Invariant($"\n{channel.Channel.Name}{(channel.Channel.Door is string door ? $" (door {door})" : "")}: {Word(channel.Verdict)}\n"));
        if (channel.Reason is not null)
        {
            text.Append($"  {channel.Reason}\n");
            return;
        }
        List<string[]> rows = [["attitude", "fall mm", "least slope %", "run", "pond mm", "pond mL", "inflow L/s", "carries L/s", "overflow mm/h", "verdict"]];
        foreach (ChannelInAttitude at in channel.Attitudes)
        {
            ChannelRun? least = at.Water.Runs.MinBy(r => r.SlopePercent ?? double.MaxValue);
            rows.Add([at.Attitude.Name, Figure(at.Water.FallMm, "0.0"), Figure(at.Water.LeastSlopePercent, "0.00"), least is null ? "" : $"{least.From} to {least.To}", Figure(at.Water.PondDepthMm, "0.00"),
                Figure(at.Water.PondVolumeMl, "0.0"), Figure(at.Flow.InflowLPerS, "0.0000"), Figure(at.Flow.CapacityLPerS, "0.0000"), Figure(at.Flow.OverflowRainMmPerH, "0"), Word(at.Verdict)]);
        }
        int[] widths = [.. Enumerable.Range(0, rows[0].Length).Select(c => rows.Max(r => r[c].Length))];
        foreach (string[] row in rows)
            text.Append("  ").Append(string.Join("  ", row.Select((cell, c) => c is 0 or 3 or 9 ? cell.PadRight(widths[c]) : cell.PadLeft(widths[c]))).TrimEnd()).Append('\n');
        foreach (ChannelInAttitude at in channel.Attitudes)
        {
            foreach (string reason in at.Reasons) text.Append($"  {at.Attitude.Name}: {reason}\n");
        }
        if (channel.WorstDepth is WorstPond { Value: > 0.01 } worst && channel.Attitudes.All(a => a.Water.PondDepthMm < worst.Value - 0.005))
            text.Append(Invariant($"  deepest water between the attitudes: {worst.Value:0.00} mm at pitch {worst.PitchDeg:0.0#}, roll {worst.RollDeg:0.0#} degrees{(channel.WorstVolume is WorstPond most ? Invariant($"; most water {most.Value:0.0} mL at pitch {most.PitchDeg:0.0#}, roll {most.RollDeg:0.0#}") : "")}\n"));
        else if (channel.WorstDepth is { Value: <= 0.01 })
            text.Append("  no water deeper than 0.01 mm in any attitude between the least and greatest pitch and roll\n");
        if (channel.WorstSlope is (string from, string to, WorstFall steep) && channel.Attitudes.All(a => a.Water.LeastSlopePercent > steep.Slope.Percent + 0.005))
            text.Append(Invariant($"  least slope between the attitudes: {steep.Slope.Percent:0.00} % (run {from} to {to}) at pitch {steep.PitchDeg:0.0#}, roll {steep.RollDeg:0.0#} degrees; not judged, as a floor with two outlets is level somewhere between them\n"));
        if (channel.BoxReason is not null) text.Append($"  {channel.BoxReason}\n");
        foreach (string remark in channel.Remarks) text.Append($"  {remark}\n");
    }

    private static string Figure(double? value, string format) => value is double number ? number.ToString(format, CultureInfo.InvariantCulture) : "-";

    private static void Missing(Utf8JsonWriter json, ChannelResult channel, string attitude)
    {
        json.WriteStartObject();
        json.WriteString("channel", channel.Channel.Name);
        json.WriteString("attitude", attitude);
        json.WriteNull("fall_mm");
        json.WriteNull("min_slope_percent");
        json.WriteStartArray("runs");
        json.WriteEndArray();
        json.WriteStartArray("ponds");
        json.WriteEndArray();
        json.WriteNull("capacity_l_per_s");
        json.WriteNull("inflow_l_per_s");
        json.WriteString("verdict", Word(Verdict.Missing));
        json.WriteStartArray("reasons");
        json.WriteStringValue(channel.Reason);
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Object(Utf8JsonWriter json, ChannelResult channel, ChannelInAttitude at, IReadOnlyList<WaterTestAgainstPrediction> tests)
    {
        json.WriteStartObject();
        json.WriteString("channel", channel.Channel.Name);
        if (channel.Channel.Door is string door) json.WriteString("door", door);
        json.WriteString("attitude", at.Attitude.Name);
        json.WriteNumber("pitch_deg", at.Attitude.PitchDeg);
        json.WriteNumber("roll_deg", at.Attitude.RollDeg);
        Number(json, "fall_mm", at.Water.FallMm);
        Number(json, "min_slope_percent", at.Water.LeastSlopePercent);
        json.WriteStartArray("runs");
        foreach (RunVerdict run in at.Runs)
        {
            json.WriteStartObject();
            json.WriteString("from", run.Run.From);
            json.WriteString("to", run.Run.To);
            json.WriteNumber("length_mm", run.Run.LengthMm);
            Number(json, "slope_percent", run.Run.SlopePercent);
            Number(json, "uncertainty_percent", run.ExpandedUncertaintyPercent);
            Number(json, "lower_percent", run.Limits.Lower);
            json.WriteString("drains_to", run.Run.DrainsTo);
            json.WriteString("verdict", Word(run.Verdict));
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteStartArray("ponds");
        foreach (Pond pond in at.Water.Ponds)
        {
            json.WriteStartObject();
            json.WriteString("low_point", pond.LowPoint);
            Number(json, "depth_mm", pond.DepthMm);
            Number(json, "volume_ml", pond.VolumeMl);
            json.WriteNumber("from_mm", pond.FromMm);
            json.WriteNumber("to_mm", pond.ToMm);
            json.WriteString("held_by", pond.HeldBy.ToString().ToLowerInvariant());
            json.WriteEndObject();
        }
        json.WriteEndArray();
        Number(json, "capacity_l_per_s", at.Flow.CapacityLPerS);
        json.WriteString("capacity_set_by", at.Flow.CapacitySetBy);
        Number(json, "inflow_l_per_s", at.Flow.InflowLPerS);
        Number(json, "reynolds", at.Flow.Reynolds);
        Number(json, "smooth_wall_slope_percent", at.Flow.SmoothWallSlopePercent);
        Number(json, "critical_depth_mm", at.Flow.CriticalDepthMm);
        Number(json, "en12056_level_gutter_l_per_s", at.Flow.LevelGutterRuleLPerS);
        Number(json, "overflow_rain_mm_per_h", at.Flow.OverflowRainMmPerH);
        json.WriteString("overflow_at", at.Flow.OverflowAt);
        Number(json, "overflow_l_per_s", at.Flow.OverflowLPerS);
        json.WriteStartArray("holes");
        foreach (HoleInChannel hole in at.Flow.Holes)
        {
            json.WriteStartObject();
            json.WriteString("point", hole.Point);
            json.WriteNumber("diameter_mm", hole.DiameterMm);
            json.WriteNumber("hold_up_mm", hole.HoldUpMm);
            Number(json, "capacity_l_per_s", hole.CapacityLPerS);
            Number(json, "emptying_s", hole.EmptyingS);
            json.WriteEndObject();
        }
        json.WriteEndArray();
        Strings(json, "high_points", at.Water.HighPoints);
        json.WriteStartArray("ingress");
        foreach (IngressRisk risk in at.Ingress)
        {
            json.WriteStartObject();
            json.WriteString("door", risk.Door);
            json.WriteString("station", risk.Station);
            json.WriteString("towards", risk.Towards);
            json.WriteString("water", risk.Water);
            Number(json, "compression_percent", risk.CompressionPercent);
            Number(json, "least_percent", risk.LeastPercent);
            Number(json, "uncertainty_percent", risk.UncertaintyPercent);
            json.WriteString("finding", !risk.IsKnown ? "not known" : risk.IsRisk ? "risk" : "not proven");
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteStartArray("water_tests");
        foreach (WaterTestAgainstPrediction test in tests.Where(t => t.Test.Door == channel.Channel.Door && (t.Test.Attitude is null || t.Test.Attitude == at.Attitude.Name)))
        {
            json.WriteStartObject();
            json.WriteString("station", test.Test.Station);
            json.WriteString("result", test.Test.IsWet ? "wet" : "dry");
            if (test.Agrees is bool agrees) json.WriteBoolean("agrees", agrees);
            else json.WriteNull("agrees");
            json.WriteEndObject();
        }
        json.WriteEndArray();
        json.WriteStartObject("between_attitudes");
        Number(json, "pond_depth_mm", channel.WorstDepth?.Value);
        Number(json, "pond_depth_pitch_deg", channel.WorstDepth?.PitchDeg);
        Number(json, "pond_depth_roll_deg", channel.WorstDepth?.RollDeg);
        Number(json, "pond_volume_ml", channel.WorstVolume?.Value);
        Number(json, "min_slope_percent", channel.WorstSlope?.Fall.Slope.Percent);
        Number(json, "min_slope_pitch_deg", channel.WorstSlope?.Fall.PitchDeg);
        Number(json, "min_slope_roll_deg", channel.WorstSlope?.Fall.RollDeg);
        json.WriteString("verdict", channel.BoxVerdict is Verdict box ? Word(box) : null);
        json.WriteEndObject();
        json.WriteString("verdict", Word(at.Verdict));
        Strings(json, "reasons", at.Reasons);
        Strings(json, "remarks", channel.Remarks);
        json.WriteEndObject();
    }

    private static void Strings(Utf8JsonWriter json, string name, IReadOnlyList<string> values)
    {
        json.WriteStartArray(name);
        foreach (string value in values) json.WriteStringValue(value);
        json.WriteEndArray();
    }

    private static void Number(Utf8JsonWriter json, string name, double? value)
    {
        if (value is double number && double.IsFinite(number)) json.WriteNumber(name, number);
        else json.WriteNull(name);
    }
}
