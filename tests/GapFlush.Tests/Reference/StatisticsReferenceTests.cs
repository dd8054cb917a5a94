using System.Globalization;
using GapFlush.Reference;

namespace GapFlush.Tests.Reference;

/// <summary>Statistics held to outside values: every case whose data is copied here, and the rest where the full folder lies beside the project.
/// Sources of the values: fixtures/reference/statistics/README.md (NIST StRD certified values; R 4.2.2; mpmath; SciPy).</summary>
public class StatisticsReferenceTests
{
    // What the library has no use for: the length of GUM example H.1 itself, of which only the uncertainty is.
    private static readonly HashSet<(string Group, string Quantity)> NotUsed = [("uncertainty", "length_nm")];

    [Fact]
    public void Every_case_with_copied_data_is_computed_and_agrees() => Hold(Fixture.At("reference", "statistics"), atLeast: 5000);

    [Fact]
    public void Every_case_of_the_full_folder_is_computed_and_agrees()
    {
        string folder = Path.GetFullPath(Path.Combine(Fixture.Root, "..", "shared", "reference", "statistics"));
        Assert.SkipUnless(Directory.Exists(folder), "the full reference folder is not beside the project; some of its data may not be copied");
        Hold(folder, atLeast: 5400);
    }

    private static void Hold(string path, int atLeast)
    {
        ReferenceFolder folder = new(path);
        ReferenceOutput output = Program.Compute(path);
        HashSet<(string, string)> withoutData = [.. folder.Rows("cases.csv").Where(r => r["input"].Length > 0 && !folder.Has(r["input"].Split('/'))).Select(r => (r["group"], r["case"]))];
        List<string> wrong = [];
        int held = 0;
        foreach (string file in Directory.EnumerateFiles(folder.At("expected"), "*.csv").Order(StringComparer.Ordinal))
        {
            string group = Path.GetFileNameWithoutExtension(file);
            if (group == "published") continue;
            foreach (IReadOnlyDictionary<string, string> row in folder.Rows("expected", group + ".csv"))
            {
                if (row["type"] == "information" || NotUsed.Contains((group, row["quantity"])) || withoutData.Contains((group, row["case"]))) continue;
                held++;
                string expected = row["expected"];
                if (!output.Values.TryGetValue((group, row["case"], row["quantity"]), out string? found)) wrong.Add($"{group} {row["case"]} {row["quantity"]}: not computed");
                else if (row["type"] == "real" ? !Agrees(row, found) : row["type"] == "integer" ? Number(found) != Number(expected) : found != expected)
                    wrong.Add($"{group} {row["case"]} {row["quantity"]}: expected {expected}, found {found}");
            }
        }
        Assert.True(held >= atLeast, $"only {held} values were held");
        Assert.Empty(wrong);
    }

    private static bool Agrees(IReadOnlyDictionary<string, string> row, string found) =>
        Math.Abs(Number(found) - Number(row["expected"])) <= Math.Max(Number(row["tol_abs"]), Number(row["tol_rel"]) * Math.Abs(Number(row["expected"])));

    private static double Number(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);
}
