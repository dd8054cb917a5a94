using GapFlush.Reference;

namespace GapFlush.Tests.Drainage;

/// <summary>The outside check values of fixtures/reference/drainage, whole, through the reference runner.</summary>
public class DrainageReferenceTests
{
    // As the README of the values suggests: closed forms 1e-9, the numerical head depth 1e-5 (its column is printed to 7 digits). Seen: 1e-13 and 2e-7.
    private static double Tolerance(string quantity) => quantity == "upstream_depth_with_friction" ? 1e-5 : 1e-9;

    [Fact]
    public void Every_value_holds_to_its_tolerance()
    {
        string root = Fixture.At("reference", "drainage");
        ReferenceOutput output = Program.Compute(root);
        ReferenceFolder folder = new(root);
        List<string> wrong = [];
        int seen = 0;
        foreach ((string group, string file) in Directory.EnumerateFiles(root, "*_expected.csv").Select(f => (Path.GetFileName(f)[..^"_expected.csv".Length], Path.GetFileName(f))).Append(("gutters", "gutters/expected.csv")))
        {
            foreach (IReadOnlyDictionary<string, string> row in folder.Rows(file))
            {
                string expected = row.GetValueOrDefault("computed") ?? row["value"];
                seen++;
                if (!output.Values.TryGetValue((group, row["case"], row["quantity"]), out string? found)) wrong.Add($"{group} {row["case"]} {row["quantity"]}: not computed");
                else if (!Agrees(expected, found, Tolerance(row["quantity"]))) wrong.Add($"{group} {row["case"]} {row["quantity"]}: expected {expected}, found {found}");
            }
        }
        Assert.Empty(wrong);
        Assert.Equal(652, seen);
    }

    // The sources of the printed answers stand in the column source: Cengel & Cimbala, Mott, the FHWA toolbox, Roberson & Crowe, two public packages.
    [Fact]
    public void Published_worked_examples_come_out_to_the_digits_printed()
    {
        string root = Fixture.At("reference", "drainage");
        ReferenceOutput output = Program.Compute(root);
        int seen = 0;
        foreach (IReadOnlyDictionary<string, string> row in new ReferenceFolder(root).Rows("manning_published_expected.csv").Where(r => r["printed_answer"].Length > 0))
        {
            double printed = double.Parse(row["printed_answer"]), found = double.Parse(output.Values[("manning_published", row["case"], row["quantity"])]);
            int decimals = row["printed_answer"].Contains('.') ? row["printed_answer"].Length - row["printed_answer"].IndexOf('.') - 1 : 0;
            Near.Absolute(printed, found, Math.Max(0.5 * Math.Pow(10, -decimals), 0.006 * printed));
            seen++;
        }
        Assert.True(seen >= 20, $"only {seen} printed answers were found");
    }

    private static bool Agrees(string expected, string found, double relative)
    {
        if (!double.TryParse(expected, out double e) || !double.TryParse(found, out double f)) return expected == found;
        return Math.Abs(e - f) <= Math.Max(relative * Math.Abs(e), e == 0 ? 1e-9 : 0);
    }
}
