using System.Globalization;
using GapFlush.Reference;

namespace GapFlush.Tests;

/// <summary>Holds a group of the copied outside check values to its tolerance, as the runner computes it.</summary>
internal static class ReferenceCheck
{
    /// <summary>Compares every expected value of a group.</summary>
    /// <param name="folder">Folder under fixtures/reference.</param>
    /// <param name="group">The group.</param>
    /// <param name="tolerance">Allowed distance by case, quantity and expected value; a negative one leaves the quantity out.</param>
    /// <returns>Number of values compared.</returns>
    public static int Hold(string folder, IReferenceGroup group, Func<string, string, double, double> tolerance)
    {
        ReferenceFolder reference = new(Fixture.At("reference", folder));
        ReferenceOutput output = new(reference.ExpectedKeys());
        group.Compute(reference, output);
        List<string> wrong = [];
        int compared = 0;
        foreach (IReadOnlyDictionary<string, string> row in reference.Rows(group.Name, "expected.csv"))
        {
            (string id, string quantity, string text) = (row["case"], row["quantity"], row["value"]);
            if (quantity.StartsWith("published.", StringComparison.Ordinal)) continue;
            bool isNumber = double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double expected);
            double allowed = tolerance(id, quantity, expected);
            if (allowed < 0) continue;
            compared++;
            if (!output.Values.TryGetValue((group.Name, id, quantity), out string? found)) wrong.Add($"{id} {quantity}: not computed");
            else if (isNumber ? !(Math.Abs(double.Parse(found, CultureInfo.InvariantCulture) - expected) <= allowed) : found != text && !text.StartsWith("0 (below", StringComparison.Ordinal))
                wrong.Add(Invariant($"{id} {quantity}: expected {text} within {allowed}, found {found}"));
        }
        Assert.True(wrong.Count == 0, string.Join('\n', wrong));
        return compared;
    }
}
