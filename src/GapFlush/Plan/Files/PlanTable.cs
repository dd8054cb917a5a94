using GapFlush.Inputs;

namespace GapFlush.Plan.Files;

/// <summary>A table of the plan: which columns it has, and its rows as far as it could be read.</summary>
internal static class PlanTable
{
    /// <summary>The rows of a file of the plan; null where the file is absent or its form is broken, which is then among the problems.</summary>
    /// <param name="folder">The plan.</param>
    /// <param name="file">Name of the file.</param>
    /// <param name="texts">Columns that hold text, in the order in which they are usually written.</param>
    /// <param name="numbers">Columns that hold numbers.</param>
    /// <param name="optional">Those of the two kinds that may be left out; a field in any other column may still be blank where the row's reader allows it.</param>
    public static IReadOnlyList<PlanRow>? Read(PlanFolder folder, string file, string[] texts, string[] numbers, string[]? optional = null)
    {
        if (folder.Find(file) is not InputFile input) return null;
        Outcome<DelimitedTable> outcome = DelimitedTable.Read(input, DelimitedOptions.Comma(numbers) with { RowsRequired = file is "stations.csv" });
        folder.Notices.AddRange(outcome.Notices);
        folder.Problems.AddRange(outcome.Problems);
        if (!outcome.IsUsable) return null;

        DelimitedTable table = outcome.Value;
        string[] known = [.. texts, .. numbers];
        foreach (string column in table.ColumnsOtherThan(known))
        {
            string hint = NearestName.Among(column, known.Where(k => !table.Has(k))) is string near ? $" Did you mean '{near}'?" : "";
            folder.Notices.Add($"{input.Name}: column '{column}' is not one of a plan's; it is kept in the file and not used.{hint}");
        }
        IReadOnlyList<InputProblem> missing = table.Missing([.. known.Except(optional ?? [])]);
        folder.Problems.AddRange(missing);
        return missing.Count > 0 ? null : [.. table.Rows.Select(r => new PlanRow(r, folder.Problems))];
    }
}
