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
    };

    /// <summary>A reading that comes out of both databases, and out of an export, as it went in.</summary>
    /// <remarks>"-0.00" on a sheet is minus nought to a computer, which SQLite gives back as nought: the row would then not agree with its own link.</remarks>
    /// <exception cref="RecordException">A number is not finite.</exception>
    public static Reading Kept(Reading reading)
    {
        (string Column, double Value)[] numbers = [("value", reading.Value), ("temperature_c", reading.TemperatureC ?? 0), ("uncertainty", reading.ExpandedUncertainty ?? 0)];
        foreach ((string column, double value) in numbers)
        {
            if (!double.IsFinite(value))
                throw new RecordException(Invariant($"{reading.Source}:{reading.Line}: column {column}: {value} is not a finite number, and the record keeps no other. Nothing was added; mend the row, or leave it out."));
        }
        return reading with
        {
            Value = reading.Value + 0.0,
            TemperatureC = reading.TemperatureC + 0.0,
            ExpandedUncertainty = reading.ExpandedUncertainty + 0.0,
            Gauge = Clean(reading.Gauge),
            Inspector = Clean(reading.Inspector),
            PlanIssue = Clean(reading.PlanIssue),
            Note = Clean(reading.Note),
        };
    }

    /// <summary>The name of a file, without its folder.</summary>
    public static string FileName(string source) => OneLine(Path.GetFileName(source)) is { Length: > 0 } name ? name : "unnamed";

    /// <summary>A text without line breaks and other control characters, trimmed.</summary>
    public static string OneLine(string text) => new string([.. text.Select(c => char.IsControl(c) ? ' ' : c)]).Trim();

    // PostgreSQL keeps no NUL, and a text that cannot go into both databases could not move between them; a sheet has no blanks at the ends of a field, nor has an export.
    private static string? Clean(string? text) => text?.Replace("\0", "", StringComparison.Ordinal).Trim() is { Length: > 0 } clean ? clean : null;
}
