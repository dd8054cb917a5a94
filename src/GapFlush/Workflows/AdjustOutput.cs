using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using GapFlush.Adjustment;
using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>A <see cref="DoorAdjustment"/> as a work instruction for a fitter and as JSON for programs.</summary>
public static class AdjustOutput
{
    /// <summary>The work instruction.</summary>
    public static string Text(FitPlan plan, DoorAdjustment advice)
    {
        DoorResult before = advice.Before;
        StringBuilder text = new();
        text.Append($"{plan.AircraftType} build {before.Build}, door {before.Door.Code}, {before.Door.Title}{(before.Stage is null ? "" : $", stage {before.Stage}")}\n");
        text.Append($"Now: {before.Words}\n\nWhat to do\n");
        IReadOnlyList<string> steps = Steps(plan, advice);
        if (steps.Count == 0) text.Append($"  No move is advised: {advice.WhyNoMoves}.\n");
        for (int i = 0; i < steps.Count; i++) text.Append(Invariant($"  {i + 1}. {steps[i]}\n"));
        text.Append($"  {DoorAdjustment.Caution}\n\nWhat to expect\n");
        foreach (string line in Expect(advice)) text.Append($"  {line}\n");
        text.Append("\nWhat no move cures\n");
        if (advice.StaysOutside.Count == 0) text.Append("  Nothing is expected outside after the moves.\n");
        foreach (string line in Remains(advice)) text.Append($"  {line}\n");
        text.Append("\nHow the door is held\n");
        foreach (string line in advice.Holding.Words) text.Append($"  {line}\n");
        text.Append("\nWhat 1 mm at each adjuster does (mean over each zone, mm; only what shows)\n");
        foreach (AdjusterEffect effect in advice.Effects) text.Append($"  {effect.Words(plan)}{(effect.MisfitMm >= 0.05 ? Invariant($" Alone it bends the door: {effect.MisfitMm:0.0} mm of it is taken up by the others.") : "")}\n");
        text.Append("\nThe same at each station, mm: gap, flush, seal land gap (positive: wider, prouder, less pressed)\n");
        foreach (string line in EffectTable(plan, advice)) text.Append($"  {line}\n");
        return text.ToString();
    }

    // Adjusters side by side as far as a line of a hundred characters goes, then the next ones below.
    private static IEnumerable<string> EffectTable(FitPlan plan, DoorAdjustment advice)
    {
        const int width = 100, cell = 21;
        IReadOnlyList<Station> stations = advice.Before.Door.Stations;
        int name = Math.Max("station".Length, stations.Max(s => s.Name.Length)) + 2, across = Math.Max(1, (width - 2 - name) / (cell + 2));
        foreach (AdjusterEffect[] some in advice.Effects.Chunk(across))
        {
            yield return ("station".PadRight(name) + string.Join("  ", some.Select(e => Fit($"{e.Adjuster.Name} {MoveWords.Direction(plan, e.Adjuster, 1)}").PadLeft(cell)))).TrimEnd();
            for (int i = 0; i < stations.Count; i++) yield return stations[i].Name.PadRight(name) + string.Join("  ", some.Select(e => $"{Cell(e.Stations[i].GapMm)}{Cell(e.Stations[i].FlushMm)}{Cell(e.Stations[i].LandGapMm)}"));
            yield return "";
        }

        static string Fit(string text) => text.Length <= cell ? text : text[^cell..];

        static string Cell(double mm) => (Math.Abs(mm) < 0.005 ? "0" : Invariant($"{mm:+0.00;-0.00}")).PadLeft(cell / 3);
    }

    /// <summary>The moves in order, a sentence each: in and out first, because all gaps are read square to the skin; then along the skin.</summary>
    public static IReadOnlyList<string> Steps(FitPlan plan, DoorAdjustment advice)
    {
        List<string> steps = [];
        foreach (AdjusterMove move in advice.Moves.Where(m => m.MoveMm != 0).OrderBy(m => MoveWords.Direction(plan, m.Adjuster, 1) is "out" or "in" ? 0 : 1))
        {
            string how = move.Adjuster.StepMm is double step ? Invariant($" ({Math.Abs(move.MoveMm) / step:0.#} {(Math.Abs(Math.Abs(move.MoveMm) - step) < 1e-9 ? "step" : "steps")} of {step:0.###} mm)") : " (stepless)";
            steps.Add(Invariant($"{move.Adjuster.Name}: move the door {Math.Abs(move.MoveMm):0.00} mm {MoveWords.Direction(plan, move.Adjuster, move.MoveMm)} there{how}."));
        }
        if (steps.Count == 0) return steps;
        string[] left = [.. advice.Moves.Where(m => m.MoveMm == 0).Select(m => m.Adjuster.Name)];
        if (left.Length > 0) steps.Add($"Leave {string.Join(", ", left)} as {(left.Length == 1 ? "it is" : "they are")}.");
        if (advice.Holding.Fighting.Count > 0) steps.Add(Invariant($"Make all moves before the last tightening: these adjusters can bend the door. The moves differ from a stiff door by {advice.MisfitMm:0.00} mm at most."));
        steps.Add("Read gap, flush and seal again all round, and inspect again.");
        return steps;
    }

    /// <summary>What to expect after the moves, a sentence each.</summary>
    public static IReadOnlyList<string> Expect(DoorAdjustment advice)
    {
        List<string> lines = [];
        if (advice.IsAdvised) lines.Add($"After the moves: {advice.After.Words}.");
        lines.Add(Invariant($"Judged values that follow the moves: {advice.Steering}; beyond their limits as they stand {advice.ScoreBefore.Outside} now, {advice.ScoreAfter.Outside} after. {Margin("Now", advice.ScoreBefore)} {Margin("After", advice.ScoreAfter)}"));
        lines.Add(Invariant($"Best with the steps of the adjusters: {Score(advice.ScoreBest)}. If they were stepless: {Score(advice.ScoreStepless)}. {(advice.IsProvenBest ? "Nothing better exists within ranges and steps." : "The search was cut short: something better may exist.")}"));
        string stepless = string.Join(", ", advice.Moves.Where(m => Math.Abs(m.SteplessMm) >= 0.005).Select(m => Invariant($"{m.Adjuster.Name} {m.SteplessMm:+0.00;-0.00}")));
        if (stepless.Length > 0) lines.Add($"The stepless best, mm along each adjuster's direction: {stepless}.");
        lines.Add(Invariant($"Probability that all of these are within their limits: {advice.Odds.Before:0.00} now, {advice.Odds.After:0.00} after")
            + (advice.StaysOutside.Count > 0 ? Invariant($" ({advice.Odds.CurableAfter:0.00} leaving aside what stays outside)") : "") + Invariant($"; that more are outside than now: {advice.Odds.Worse:0.00}. From {advice.Odds.Draws} doors that the readings allow, the moves made exactly.")
            + (advice.Odds.UnknownUncertainty > 0 ? Invariant($" {advice.Odds.UnknownUncertainty} readings have no stated uncertainty and count as exact, so these are too high.") : ""));
        string least = string.Join(", ", advice.Moves.Where(m => m.LeastTellableMm is not null).Select(m => Invariant($"{m.Adjuster.Name} {m.LeastTellableMm:0.00}")));
        if (least.Length > 0) lines.Add($"Smallest move that the readings can tell, mm: {least}. Smaller ones are not advised.");
        foreach (AdjusterMove held in advice.Moves.Where(m => m.WhyHeld is not null)) lines.Add($"{held.Adjuster.Name} is left alone: {held.WhyHeld}.");
        if (advice.OnlyReported.Count > 0) lines.Add($"Judged, but not steering the moves: {string.Join(", ", advice.OnlyReported)}.");
        if (advice.Before.Counts.Missing > 0) lines.Add(Invariant($"{advice.Before.Counts.Missing} limited values are missing; nothing is said of them, and the moves may put them outside."));
        return lines;

        static string Margin(string when, FitScore score) => !double.IsFinite(score.WorstMarginMm) ? ""
            : score.WorstMarginMm < 0 ? Invariant($"{when}, of the values inside, the one nearest to its limit lacks {-score.WorstMarginMm:0.00} mm of being proven inside.")
            : Invariant($"{when}, of the values inside, the one nearest to its limit has {score.WorstMarginMm:0.00} mm to spare.");

        static string Score(FitScore score) => Invariant($"{score.Outside} outside")
            + (score.WorstExcessMm > 0 ? Invariant($" by up to {score.WorstExcessMm:0.00} mm") : "") + (double.IsFinite(score.WorstMarginMm) ? Invariant($", worst margin {score.WorstMarginMm:0.00} mm") : "");
    }

    /// <summary>What stays outside, a line a reason; then, for each value that a scan shows, which side of the seam carries it.</summary>
    public static IReadOnlyList<string> Remains(DoorAdjustment advice)
    {
        List<string> lines = [.. advice.StaysOutside.GroupBy(s => s.Why).Select(g => $"{string.Join("; ", g.Select(What))}: {g.Key}")];
        if (lines.Count == 0) return lines;
        if (advice.Shares is null) return [.. lines, "Whether door or opening carries it cannot be told from readings across the seam; a scan of both sides tells (--scan)."];
        foreach (StaysOutside stays in advice.StaysOutside)
        {
            if (advice.CauseOf(stays) is CarriedBy cause) lines.Add($"{Place(stays)}: by the scan, {cause.Words}.");
        }
        return lines;
    }

    private static string What(StaysOutside s) => $"{Place(s)} {Figures.Text(s.Row.Excess ?? 0)} {s.Row.Measurement.Characteristic.Unit} out";

    private static string Place(StaysOutside s) => $"{s.Row.Measurement.Place} {s.Row.Measurement.Characteristic.Words}";

    /// <summary>The advice as JSON.</summary>
    public static string Json(DoorAdjustment advice)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream, new JsonWriterOptions { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping }))
        {
            json.WriteStartObject();
            json.WriteString("build", advice.Before.Build);
            json.WriteString("door", advice.Before.Door.Code);
            json.WriteString("stage", advice.Before.Stage);
            json.WriteStartArray("moves");
            foreach (AdjusterMove move in advice.Moves)
            {
                json.WriteStartObject();
                json.WriteString("adjuster", move.Adjuster.Name);
                json.WriteNumber("move_mm", Round(move.MoveMm));
                json.WriteNumber("stepless_mm", Round(move.SteplessMm));
                Number(json, "least_tellable_mm", move.LeastTellableMm);
                json.WriteString("held_because", move.WhyHeld);
                json.WriteEndObject();
            }
            json.WriteEndArray();
            json.WriteStartObject("displacement");
            Vector(json, "translation_mm", advice.Displacement.TranslationMm, 1);
            Vector(json, "rotation_mrad", advice.Displacement.RotationRad, 1000);
            json.WriteEndObject();
            State(json, "before", advice.Before, advice.ScoreBefore, advice.Odds.Before);
            State(json, "after", advice.After, advice.ScoreAfter, advice.Odds.After);
            Score(json, "best_with_steps", advice.ScoreBest);
            Score(json, "best_stepless", advice.ScoreStepless);
            json.WriteBoolean("proven_best", advice.IsProvenBest);
            json.WriteNumber("probability_curable_within", advice.Odds.CurableAfter);
            json.WriteNumber("probability_worse", advice.Odds.Worse);
            json.WriteString("no_moves_because", advice.WhyNoMoves);
            json.WriteStartArray("stations");
            foreach (Station station in advice.Before.Door.Stations) StationAfter(json, advice.After, station);
            json.WriteEndArray();
            json.WriteStartArray("not_curable");
            foreach (StaysOutside s in advice.StaysOutside)
            {
                json.WriteStartObject();
                json.WriteString("station", s.Row.Measurement.Station);
                json.WriteString("zone", s.Row.Measurement.Zone);
                json.WriteString("characteristic", s.Row.Measurement.Characteristic.Code);
                Number(json, "excess_mm", s.ExcessMm);
                Number(json, "excess", s.Row.Excess);
                json.WriteString("unit", s.Row.Measurement.Characteristic.Unit);
                json.WriteString("kind", s.Kind.ToString());
                json.WriteString("why", s.Why);
                CarriedBy? cause = advice.CauseOf(s);
                json.WriteStartArray("carried_by");
                foreach (string side in cause?.Proven ?? []) json.WriteStringValue(side);
                json.WriteEndArray();
                Number(json, "door_mm", cause?.DoorMm);
                Number(json, "opening_mm", cause?.OpeningMm);
                Number(json, "edge_mm", cause?.EdgeMm);
                Number(json, "carried_uncertainty_mm", cause?.ExpandedUncertaintyMm);
                json.WriteEndObject();
            }
            json.WriteEndArray();
            json.WriteStartArray("holding");
            foreach (string words in advice.Holding.Words) json.WriteStringValue(words);
            json.WriteEndArray();
            json.WriteStartArray("effects");
            foreach (AdjusterEffect effect in advice.Effects)
            {
                json.WriteStartObject();
                json.WriteString("adjuster", effect.Adjuster.Name);
                json.WriteStartArray("stations");
                foreach (SeamChange change in effect.Stations)
                {
                    json.WriteStartObject();
                    json.WriteString("station", change.Place);
                    json.WriteNumber("gap_mm", Round(change.GapMm));
                    json.WriteNumber("flush_mm", Round(change.FlushMm));
                    json.WriteNumber("land_gap_mm", Round(change.LandGapMm));
                    json.WriteEndObject();
                }
                json.WriteEndArray();
                json.WriteEndObject();
            }
            json.WriteEndArray();
            json.WriteEndObject();
        }
        return Encoding.UTF8.GetString(stream.ToArray()) + "\n";
    }

    private static void StationAfter(Utf8JsonWriter json, DoorResult after, Station station)
    {
        ResultRow[] rows = [.. after.Rows.Where(r => r.Measurement.Station == station.Name)];
        Verdict[] verdicts = [.. rows.Select(r => r.Verdict).OfType<Verdict>()];
        json.WriteStartObject();
        json.WriteString("station", station.Name);
        Number(json, "gap_after", Value(Characteristic.Gap));
        Number(json, "flush_after", Value(Characteristic.Flush));
        Number(json, "compression_after", Value(Characteristic.Compression));
        // The worst of the station: outside, else missing, else undecided, else within.
        Verdict? worst = verdicts.Length == 0 ? null : verdicts.Contains(Verdict.Outside) ? Verdict.Outside : verdicts.Contains(Verdict.Missing) ? Verdict.Missing : verdicts.Contains(Verdict.Undecided) ? Verdict.Undecided : Verdict.Within;
        json.WriteString("verdict_after", worst?.ToString().ToLowerInvariant());
        json.WriteEndObject();

        double? Value(Characteristic c) => rows.FirstOrDefault(r => r.Measurement.Characteristic == c)?.Measurement.Value;
    }

    private static void State(Utf8JsonWriter json, string name, DoorResult result, FitScore score, double probability)
    {
        json.WriteStartObject(name);
        json.WriteNumber("within", result.Counts.Within);
        json.WriteNumber("undecided", result.Counts.Undecided);
        json.WriteNumber("outside", result.Counts.Outside);
        json.WriteNumber("missing", result.Counts.Missing);
        Members(json, score);
        json.WriteNumber("probability_within", probability);
        json.WriteEndObject();
    }

    private static void Score(Utf8JsonWriter json, string name, FitScore score)
    {
        json.WriteStartObject(name);
        Members(json, score);
        json.WriteEndObject();
    }

    private static void Members(Utf8JsonWriter json, FitScore score)
    {
        json.WriteNumber("beyond_limits", score.Outside);
        Number(json, "worst_excess_mm", score.WorstExcessMm);
        Number(json, "worst_margin_mm", score.WorstMarginMm);
    }

    private static void Vector(Utf8JsonWriter json, string name, Vector3 v, double scale)
    {
        json.WriteStartArray(name);
        foreach (double part in (double[])[v.X, v.Y, v.Z]) json.WriteNumberValue(Round(part * scale));
        json.WriteEndArray();
    }

    private static void Number(Utf8JsonWriter json, string name, double? value)
    {
        if (value is double v && double.IsFinite(v)) json.WriteNumber(name, Round(v));
        else json.WriteNull(name);
    }

    private static double Round(double value) => Math.Round(value, 6) + 0.0;
}
