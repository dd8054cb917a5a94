using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Store.Adding;

/// <summary>The form in which readings go into the record, so that it needs neither the file nor the plan it came with.</summary>
internal static class ReadingForm
{
    /// <summary>The name of an addition that is no file.</summary>
    public const string ByHand = "correction";

    /// <summary>A reading as it is entered: decimal point, and a definition left blank is the plan's own of today, so that a later plan with another one does not lay claim to it.</summary>
    public static Reading Of(Reading reading, FitPlan plan) => reading with
    {
        WrittenValue = reading.WrittenValue.Replace(',', '.').Replace('\u2212', '-'),
        Definition = reading.Definition ?? plan.FindDoor(reading.Door)?.DefinitionOf(reading.Characteristic),
        Inspector = Clean(reading.Inspector),
        PlanIssue = Clean(reading.PlanIssue),
        Note = Clean(reading.Note),
    };

    /// <summary>Refuses a reading that is no reading.</summary>
    /// <exception cref="RecordException">A number is not finite.</exception>
    public static void Demand(Reading reading)
    {
        (string Column, double Value)[] numbers = [("value", reading.Value), ("temperature_c", reading.TemperatureC ?? 0), ("uncertainty", reading.ExpandedUncertainty ?? 0)];
        foreach ((string column, double value) in numbers)
        {
            if (!double.IsFinite(value))
                throw new RecordException(Invariant($"{reading.Source}:{reading.Line}: column {column}: {value} is not a finite number, and the record keeps no other. Nothing was added; mend the row, or leave it out."));
        }
    }

    /// <summary>The name of a file, without its folder.</summary>
    public static string FileName(string source) => OneLine(Path.GetFileName(source)) is { Length: > 0 } name ? name : "unnamed";

    /// <summary>A text without line breaks and other control characters, trimmed.</summary>
    public static string OneLine(string text) => new string([.. text.Select(c => char.IsControl(c) ? ' ' : c)]).Trim();

    // PostgreSQL keeps no NUL, and a text that cannot go into both databases could not move between them.
    private static string? Clean(string? text) => text is null || !text.Contains('\0', StringComparison.Ordinal) ? text : text.Replace("\0", "", StringComparison.Ordinal);
}
