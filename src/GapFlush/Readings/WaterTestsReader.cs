using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Readings;

/// <summary>Reads a file of water tests: <c>build, door, result</c> (wet or dry) and, where present, <c>station, attitude, minutes, flow_l_per_min, note</c>.</summary>
public static class WaterTestsReader
{
    private static readonly string[] Required = ["build", "door", "result"];
    private static readonly string[] Optional = ["station", "attitude", "minutes", "flow_l_per_min", "inspector", "taken_at", "note"];

    /// <summary>Every column that the reader understands, required ones first.</summary>
    public static IReadOnlyList<string> Columns { get; } = [.. Required, .. Optional];

    /// <summary>Reads a file of water tests against a plan, or says everything that is wrong with it.</summary>
    public static Outcome<WaterTestLog> Read(InputFile file, FitPlan plan)
    {
        Outcome<DelimitedTable> form = DelimitedTable.Read(file, DelimitedOptions.Any("minutes", "flow_l_per_min"));
        if (!form.IsUsable) return Outcome<WaterTestLog>.Refused(form.Problems, form.Notices);
        List<string> notices = [.. form.Notices];
        if (form.Value.ColumnsOtherThan(Columns) is { Count: > 0 } unknown)
            notices.Add($"{file.Name}: not understood and left aside: column{(unknown.Count > 1 ? "s" : "")} {string.Join(", ", unknown)}.");
        IReadOnlyList<InputProblem> missing = form.Value.Missing(Required);
        if (missing.Count > 0) return Outcome<WaterTestLog>.Refused(missing, notices);
        List<InputProblem> problems = [];
        List<WaterTest> tests = [];
        foreach (DelimitedRow row in form.Value.Rows)
        {
            int before = problems.Count;
            string? build = row.RequiredText("build", problems), code = row.RequiredText("door", problems), result = row.RequiredText("result", problems)?.ToLowerInvariant();
            Door? door = code is null ? null : plan.FindDoor(code);
            if (code is not null && door is null) problems.Add(row.Problem("door", "a door of the plan", NearestName.Remedy(code, [.. plan.Doors.Select(d => d.Code)])));
            if (row.Text("station") is string station && door is not null && door.Find(station) is null)
                problems.Add(row.Problem("station", $"a station of door {door.Code}", NearestName.Remedy(station, [.. door.Stations.Select(s => s.Name)])));
            if (row.Text("attitude") is string attitude && plan.Attitudes.All(a => a.Name != attitude))
                problems.Add(row.Problem("attitude", "an attitude of plan.json", NearestName.Remedy(attitude, [.. plan.Attitudes.Select(a => a.Name)])));
            if (result is not (null or "wet" or "dry")) problems.Add(row.Problem("result", "wet or dry", "Write wet where any water was found inside, else dry."));
            double? minutes = NotNegative(row, "minutes", problems), flow = NotNegative(row, "flow_l_per_min", problems);
            if (problems.Count == before) tests.Add(new(build!, door!.Code, row.Text("station"), row.Text("attitude"), result == "wet", minutes, flow, row.Text("note"), row.Line));
        }
        return problems.Count > 0 ? Outcome<WaterTestLog>.Refused(problems, notices) : Outcome<WaterTestLog>.Of(new(file.Name, tests), notices);
    }

    private static double? NotNegative(DelimitedRow row, string column, List<InputProblem> problems)
    {
        double? value = row.Number(column, problems);
        if (value is < 0) problems.Add(row.Problem(column, "a number of 0 or more", "Correct it, or leave it blank."));
        return value;
    }
}
