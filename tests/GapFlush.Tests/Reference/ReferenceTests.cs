using System.Globalization;
using GapFlush.Reference;

namespace GapFlush.Tests.Reference;

/// <summary>Runs the reference program over the copies of the outside check values and holds every value it computes to its tolerance.</summary>
public class ReferenceTests
{
    /// <summary>Groups that must be covered in full. A group joins this list when the library computes all of it.</summary>
    private static readonly (string Folder, string Group)[] Complete =
    [
        ("geometry", "seal"),
    ];

    /// <summary>Tolerances of the geometry and drainage folders, first match counts; those of statistics stand in its own files. Absolute in the unit of the
    /// row, or relative to the expected value. From the folders' README; an empty unit is compared as text.</summary>
    private static readonly (string Folder, string Group, Func<string, bool> Quantity, double Absolute, double Relative)[] Tolerances =
    [
        ("geometry", "stations", q => q.EndsWith("_rad", StringComparison.Ordinal), 1e-11, 0),                // 1e-8 mm at 1 m
        ("geometry", "stations", q => q.EndsWith("_deg", StringComparison.Ordinal), 1e-9, 0),
        ("geometry", "stations", q => q.Contains("rms", StringComparison.Ordinal), 1e-9, 0),
        ("geometry", "stations", q => q.Contains("condition", StringComparison.Ordinal), 0, 0),
        ("geometry", "stations", _ => true, 1e-8, 0),
        ("geometry", "seal", _ => true, 0, 1e-9),
        ("geometry", "thermal", _ => true, 1e-15, 1e-9),
        ("geometry", "aero", _ => true, 0, 1e-9),
    ];

    [Theory]
    [InlineData("statistics")]
    [InlineData("geometry")]
    [InlineData("drainage")]
    public void Every_computed_value_agrees_with_the_outside_one(string folder)
    {
        List<string> wrong = [];
        int compared = 0;
        ReferenceOutput output = Program.Compute(Fixture.At("reference", folder));
        foreach (((string group, string @case, string quantity), IReadOnlyDictionary<string, string> row) in Expected(folder))
        {
            if (!output.Values.TryGetValue((group, @case, quantity), out string? found)) continue;
            compared++;
            if (Difference(folder, group, quantity, row, found) is string difference) wrong.Add($"{group} {@case} {quantity}: {difference}");
        }
        Assert.Equal(output.Computed, compared);
        Assert.True(wrong.Count == 0, string.Join("\n", wrong.Prepend($"{wrong.Count} of {compared} values differ:")));
    }

    [Fact]
    public void Groups_said_to_be_complete_leave_nothing_out()
    {
        List<string> absent = [];
        foreach (IGrouping<string, (string Folder, string Group)> folder in Complete.GroupBy(c => c.Folder))
        {
            ReferenceOutput output = Program.Compute(Fixture.At("reference", folder.Key));
            HashSet<string> groups = [.. folder.Select(c => c.Group)];
            absent.AddRange(Expected(folder.Key).Where(e => groups.Contains(e.Key.Group) && !output.Values.ContainsKey(e.Key)).Select(e => $"{e.Key}"));
        }
        Assert.Empty(absent);
    }

    private static string? Difference(string folder, string group, string quantity, IReadOnlyDictionary<string, string> row, string found)
    {
        string expected = row.TryGetValue("expected", out string? e) ? e : row["value"];
        bool isNumber = row.TryGetValue("type", out string? type) ? type is "real" or "integer" : double.TryParse(expected, NumberStyles.Float, CultureInfo.InvariantCulture, out _);
        if (!isNumber) return found == expected ? null : $"expected '{expected}', found '{found}'";
        (double absolute, double relative) = row.ContainsKey("tol_abs")
            ? (double.Parse(row["tol_abs"], CultureInfo.InvariantCulture), double.Parse(row["tol_rel"], CultureInfo.InvariantCulture))
            : Tolerance(folder, group, quantity);
        if (!double.TryParse(found, NumberStyles.Float, CultureInfo.InvariantCulture, out double value)) return $"expected {expected}, found '{found}'";
        double target = double.Parse(expected, CultureInfo.InvariantCulture), tolerance = Math.Max(absolute, relative * Math.Abs(target));
        return Math.Abs(value - target) <= tolerance ? null : Invariant($"expected {expected} within {tolerance:0.0e+0}, found {found}, off by {value - target:0.0e+0}");
    }

    private static (double Absolute, double Relative) Tolerance(string folder, string group, string quantity)
    {
        foreach ((string f, string g, Func<string, bool> holds, double absolute, double relative) in Tolerances)
            if (f == folder && g == group && holds(quantity)) return (absolute, relative);
        return (0, 1e-9);
    }

    private static Dictionary<(string Group, string Case, string Quantity), IReadOnlyDictionary<string, string>> Expected(string folder)
    {
        ReferenceFolder reference = new(Fixture.At("reference", folder));
        return reference.ExpectedRows().ToDictionary(e => e.Key, e => e.Row);
    }
}
