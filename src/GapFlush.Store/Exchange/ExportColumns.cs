namespace GapFlush.Store.Exchange;

/// <summary>The columns of an exported record.</summary>
public static class ExportColumns
{
    /// <summary>By these a file is known to be an export rather than a sheet of readings.</summary>
    public static IReadOnlyList<string> Marks { get; } = ["entry", "link"];

    /// <summary>What stands on the first row of a file only.</summary>
    public static IReadOnlyList<string> OfFile { get; } = ["file_name", "sha256", "entries", "added_by", "added_at", "why", "file_link"];

    /// <summary>All columns. The readings' own are named as in a file of readings; <c>value</c> is in the characteristic's unit, <c>written_value</c> and <c>written_unit</c> as logged.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        "entry", "file", "line", "corrects", "build", "door", "station", "characteristic", "value", "written_value", "written_unit", "gauge", "inspector", "taken_at", "repeat", "temperature_c",
        "stage", "definition", "uncertainty", "plan_issue", "note", "link", .. OfFile,
    ];
}
