using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Plan.Files;

namespace GapFlush.Scans;

/// <summary>Reads probed points: a few labelled touches a side at each station.</summary>
/// <remarks>Columns: <c>build, door, station, side, feature, x, y, z</c>, and where present <c>ball_radius</c>, <c>stage</c>; <c>side</c> is <c>surround</c> or <c>door</c>, <c>feature</c> is
/// <c>skin</c> or <c>edge</c>. Coordinates are centres of the ball; without a radius they are taken to lie on the surface.</remarks>
public static class ProbedReader
{
    private static readonly string[] Required = ["build", "door", "station", "side", "feature", "x", "y", "z"], Optional = ["ball_radius", "stage"];

    /// <summary>Largest ball, mm; a slip beyond. Probing balls have radii of half a millimetre to a few.</summary>
    private const double LargestBall = 25;

    /// <summary>Reads a file of probed points against a plan, or says everything that is wrong with it.</summary>
    public static Outcome<ProbedLog> Read(InputFile file, FitPlan plan)
    {
        Outcome<DelimitedTable> form = DelimitedTable.Read(file, DelimitedOptions.Any("x", "y", "z", "ball_radius"));
        if (!form.IsUsable) return Outcome<ProbedLog>.Refused(form.Problems, form.Notices);
        DelimitedTable table = form.Value;
        List<string> notices = [.. form.Notices];
        if (table.ColumnsOtherThan([.. Required, .. Optional]) is { Count: > 0 } unknown)
            notices.Add($"{file.Name}: not understood and left aside: column{(unknown.Count > 1 ? "s" : "")} {string.Join(", ", unknown)}.");
        IReadOnlyList<InputProblem> missing = table.Missing(Required);
        if (missing.Count > 0) return Outcome<ProbedLog>.Refused(missing, notices);
        List<InputProblem> problems = [];
        List<ProbedPoint> points = [.. table.Rows.Select(r => Row(r, plan, problems)).OfType<ProbedPoint>()];
        if (problems.Count == 0 && points.Any(p => p.BallRadius == 0)) notices.Add($"{file.Name}: touches without a ball radius are taken to lie on the surface.");
        return problems.Count > 0 ? Outcome<ProbedLog>.Refused(problems, notices) : Outcome<ProbedLog>.Of(new(file.Name, points), notices);
    }

    private static ProbedPoint? Row(DelimitedRow row, FitPlan plan, List<InputProblem> problems)
    {
        int before = problems.Count;
        string? build = row.RequiredText("build", problems), code = row.RequiredText("door", problems), name = row.RequiredText("station", problems);
        Door? door = code is null ? null : plan.FindDoor(code);
        if (code is not null && door is null) problems.Add(row.Problem("door", "a door of the plan", NearestName.Remedy(code, [.. plan.Doors.Select(d => d.Code)])));
        Station? station = name is null ? null : door?.Find(name);
        if (name is not null && door is not null && station is null) problems.Add(row.Problem("station", $"a station of door {door.Code}", NearestName.Remedy(name, [.. door.Stations.Select(s => s.Name)])));
        bool isDoor = OneOf("side", "surround", "door"), isEdge = OneOf("feature", "skin", "edge");
        (double? x, double? y, double? z) = (Coordinate("x"), Coordinate("y"), Coordinate("z"));
        double radius = row.Number("ball_radius", problems) ?? 0;
        if (!(radius is >= 0 and <= LargestBall)) problems.Add(row.Problem("ball_radius", Invariant($"a radius of 0 to {LargestBall}"), "Write the radius of the ball, not its diameter, in the unit of the coordinates."));
        string? stage = row.Text("stage");
        if (stage is not null && plan.Stages.Count > 0 && plan.FindStage(stage) is null) problems.Add(row.Problem("stage", "a stage of the plan", NearestName.Remedy(stage, [.. plan.Stages.Select(s => s.Name)])));
        return problems.Count > before ? null : new(build!, door!.Code, station!, isDoor, isEdge, new(x!.Value, y!.Value, z!.Value), radius, stage, row.Line);

        bool OneOf(string column, string no, string yes)
        {
            if (row.RequiredText(column, problems) is not string text) return false;
            if (text.Equals(yes, StringComparison.OrdinalIgnoreCase)) return true;
            if (!text.Equals(no, StringComparison.OrdinalIgnoreCase)) problems.Add(row.Problem(column, $"{no} or {yes}", $"Write {no} or {yes}."));
            return false;
        }

        double? Coordinate(string column)
        {
            double? value = row.RequiredNumber(column, problems);
            if (value is double v && !NumberRange.CoordinateMm.Holds(v)) problems.Add(row.Problem(column, NumberRange.CoordinateMm.Expected, NumberRange.CoordinateMm.Remedy));
            return value;
        }
    }
}
