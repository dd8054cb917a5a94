using System.Globalization;
using System.Text;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Web;

/// <summary>One value as it was typed.</summary>
/// <param name="Station">Station.</param>
/// <param name="Characteristic">Code of what was read.</param>
/// <param name="Value">What was typed, with either decimal mark.</param>
/// <param name="Gauge">The gauge, or null.</param>
/// <param name="TakenAt">When it was typed, ISO 8601, or null.</param>
/// <param name="Note">Remark, or null.</param>
internal sealed record LoggedValue(string Station, string Characteristic, string Value, string? Gauge = null, string? TakenAt = null, string? Note = null);

/// <summary>A door's sheet as the page sends it.</summary>
/// <param name="Build">Serial of the aircraft.</param>
/// <param name="Door">Door code.</param>
/// <param name="Stage">Stage, or null.</param>
/// <param name="Inspector">Name of whoever reads.</param>
/// <param name="Unit">Unit of all values, or null for mm.</param>
/// <param name="TemperatureC">Temperature of the parts as typed, or null.</param>
/// <param name="Values">The values.</param>
/// <param name="SameKey">What to do with readings that the record already holds: ask, replace or repeat.</param>
/// <param name="Why">Why they are replaced, or null.</param>
internal sealed record LoggedSheet(string? Build, string? Door, string? Stage, string? Inspector, string? Unit, string? TemperatureC, IReadOnlyList<LoggedValue>? Values, string? SameKey = null, string? Why = null)
{
    /// <summary>The sheet read by the same rules as a file of readings.</summary>
    /// <remarks>It is written out as such a file, semicolon separated so that either decimal mark may be typed; a problem in line n is that of value n - 2.</remarks>
    public Outcome<ReadingLog> Read(FitPlan plan) => ReadingsReader.Read(InputFile.FromText($"logged {Build} {Door} {Stage}".Trim(), AsText(plan)), plan);

    private string AsText(FitPlan plan)
    {
        StringBuilder text = new("build;door;station;characteristic;value;unit;gauge;inspector;taken_at;temperature_c;stage;note;plan_issue\n");
        foreach (LoggedValue v in Values ?? [])
        {
            string?[] cells = [Build, Door, v.Station, v.Characteristic, Number(v.Value), Unit, v.Gauge, Inspector, v.TakenAt, Number(TemperatureC), Stage, v.Note, plan.Issue];
            text.AppendJoin(';', cells.Select(Cell)).Append('\n');
        }
        return text.ToString();
    }

    // One decimal mark for the whole text, whichever was typed where; a text with both is left as it is, and refused with what stands there.
    private static string? Number(string? typed) => typed is null || typed.Contains('.', StringComparison.Ordinal) && typed.Contains(',', StringComparison.Ordinal) ? typed : typed.Trim().Replace(',', '.');

    private static string Cell(string? value)
    {
        if (string.IsNullOrWhiteSpace(value)) return "";
        string line = string.Concat(value.Trim().Select(c => char.GetUnicodeCategory(c) == UnicodeCategory.Control ? ' ' : c));
        return $"\"{line.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
    }
}
