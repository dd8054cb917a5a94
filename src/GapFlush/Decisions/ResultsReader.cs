using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Decisions;

/// <summary>Reads judged rows back from <c>results.csv</c>, so that a map can be drawn again without judging again.</summary>
/// <remarks>The verdict is taken as it stands; budgets, raw values and readings are not in the file and stay empty.</remarks>
public static class ResultsReader
{
    private static readonly string[] NumberColumns = ["value", "uncertainty", "nominal", "lower", "upper", "deviation"];
    private static readonly string[] Required = ["build", "door", "station", "characteristic", "value", "verdict"];

    /// <summary>Reads the rows of one file; doors, stations and characteristics must be the plan's.</summary>
    public static Outcome<IReadOnlyList<ResultRow>> Read(InputFile file, FitPlan plan)
    {
        Outcome<DelimitedTable> table = DelimitedTable.Read(file, DelimitedOptions.Any(NumberColumns));
        if (!table.IsUsable) return Outcome<IReadOnlyList<ResultRow>>.Refused(table.Problems, table.Notices);
        List<InputProblem> problems = [.. table.Value.Missing(Required)];
        if (problems.Count > 0) return Outcome<IReadOnlyList<ResultRow>>.Refused(problems, table.Notices);
        List<ResultRow> rows = [];
        foreach (DelimitedRow row in table.Value.Rows)
        {
            if (Read(row, plan, problems) is ResultRow result) rows.Add(result);
        }
        return problems.Count > 0 ? Outcome<IReadOnlyList<ResultRow>>.Refused(problems, table.Notices) : Outcome<IReadOnlyList<ResultRow>>.Of(rows, table.Notices);
    }

    private static ResultRow? Read(DelimitedRow row, FitPlan plan, List<InputProblem> problems)
    {
        int before = problems.Count;
        string build = Unquoted(row.RequiredText("build", problems)), code = Unquoted(row.RequiredText("door", problems)), name = Unquoted(row["characteristic"]);
        Door? door = plan.FindDoor(code);
        if (door is null && code.Length > 0) problems.Add(row.Problem("door", "a door of the plan", NearestName.Remedy(code, [.. plan.Doors.Select(d => d.Code)])));
        Characteristic? characteristic = Characteristic.Find(name);
        if (characteristic is null) problems.Add(row.Problem("characteristic", "a characteristic", NearestName.Remedy(name, [.. Characteristic.All.Select(c => c.Code)])));
        string? station = row.Text("station") is string s ? Unquoted(s) : null;
        if (door is not null && station is not null && characteristic?.Scope == CharacteristicScope.Station && door.Find(station) is null)
            problems.Add(row.Problem("station", $"a station of door {code}", NearestName.Remedy(station, [.. door.Stations.Select(x => x.Name)])));
        Verdict? verdict = null;
        if (row.Text("verdict") is string word)
        {
            verdict = Enum.GetValues<Verdict>().Cast<Verdict?>().FirstOrDefault(v => ResultsFile.Word(v) == word);
            if (verdict is null) problems.Add(row.Problem("verdict", "within, undecided, outside, missing or blank", "Use the file as inspect wrote it."));
        }
        double? value = row.Number("value", problems), uncertainty = row.Number("uncertainty", problems), nominal = row.Number("nominal", problems),
            lower = row.Number("lower", problems), upper = row.Number("upper", problems);
        if ((lower ?? double.NegativeInfinity) >= (upper ?? double.PositiveInfinity)) problems.Add(row.Problem("lower", "a lower limit below the upper one", "Use the file as inspect wrote it."));
        if (problems.Count > before) return null;
        Measurement measurement = new()
        {
            Build = build,
            Door = code,
            Zone = row.Text("zone") is string zone ? Unquoted(zone) : null,
            Station = station,
            Characteristic = characteristic!,
            Definition = row.Text("definition"),
            Stage = row.Text("stage") is string stage ? Unquoted(stage) : null,
            Value = value,
            RawValue = value,
            StandardUncertainty = uncertainty / 2,
            Origin = MeasurementOrigin.Readings,
        };
        return new ResultRow(measurement, nominal, lower is null && upper is null ? null : new Limits(lower, upper), verdict, row.Text("reason") is string reason ? Unquoted(reason) : null);
    }

    // ResultsFile puts an apostrophe before text that a spreadsheet would run as a formula.
    private static string Unquoted(string? text) => text is { Length: > 1 } && text[0] == '\'' && text[1] is ('=' or '+' or '-' or '@') ? text[1..] : text ?? "";
}
