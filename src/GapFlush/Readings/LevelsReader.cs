using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Plan.Files;

namespace GapFlush.Readings;

/// <summary>Reads a file of channel levels.</summary>
/// <remarks>
/// <para>Columns: <c>build, channel, point, z</c>, or with <c>x, y</c> where the whole place was taken; and, where present, <c>unit</c> (mm, in, um, m),
/// <c>gauge</c>, <c>uncertainty</c> (expanded, k = 2, in the unit of the row), <c>repeat</c>, <c>note</c>. Form as <see cref="DelimitedTable"/> reads it.</para>
/// <para>A point taken several times is its mean; the rows then carry the number of the repeat. Heights that fit the plan only in another unit are refused: nothing
/// is converted on a guess. A datum other than the plan's does no harm, as only differences of height are used; it is told.</para>
/// </remarks>
public static class LevelsReader
{
    private static readonly string[] Required = ["build", "channel", "point", "z"];
    private static readonly string[] Optional = ["x", "y", "unit", "gauge", "uncertainty", "repeat", "taken_at", "inspector", "note"];
    private static readonly Dictionary<string, double> Lengths = new() { ["mm"] = 1, ["in"] = 25.4, ["um"] = 0.001, ["m"] = 1000 };

    // A channel moulded into the part lies within this of the plan, mm [common practice, no source]; farther off, heights are of another datum or another unit.
    private const double SameDatumMm = 50;

    /// <summary>Every column that the reader understands, required ones first.</summary>
    public static IReadOnlyList<string> Columns { get; } = [.. Required, .. Optional];

    /// <summary>Reads a file of levels against a plan, or says everything that is wrong with it.</summary>
    public static Outcome<LevelLog> Read(InputFile file, FitPlan plan)
    {
        Outcome<DelimitedTable> form = DelimitedTable.Read(file, DelimitedOptions.Any("x", "y", "z", "uncertainty"));
        if (!form.IsUsable) return Outcome<LevelLog>.Refused(form.Problems, form.Notices);
        DelimitedTable table = form.Value;
        List<string> notices = [.. form.Notices];
        if (table.ColumnsOtherThan(Columns) is { Count: > 0 } unknown)
            notices.Add($"{file.Name}: not understood and left aside: column{(unknown.Count > 1 ? "s" : "")} {string.Join(", ", unknown)}.");
        IReadOnlyList<InputProblem> missing = table.Missing(Required);
        if (missing.Count > 0) return Outcome<LevelLog>.Refused(missing, notices);

        List<InputProblem> problems = [];
        List<Row> rows = [];
        foreach (DelimitedRow row in table.Rows)
        {
            if (ReadRow(row, plan, problems) is Row read) rows.Add(read);
        }
        List<ChannelLevel> levels = [];
        foreach (IGrouping<(string, string, string), Row> taken in rows.GroupBy(r => (r.Level.Build, r.Level.Channel, r.Level.Point)))
        {
            foreach (Row twin in taken.GroupBy(r => r.Repeat).SelectMany(g => g.Skip(1)))
                problems.Add(twin.Source.Problem("point", $"point {twin.Level.Point} of channel {twin.Level.Channel} once", Invariant($"Line {taken.First().Level.Line} has it already; delete one, or number them in column repeat.")));
            levels.Add(Together([.. taken]));
        }
        foreach (IGrouping<(string Build, string Channel), Row> channel in rows.GroupBy(r => (r.Level.Build, r.Level.Channel)))
            CheckAgainstPlan(plan.Channels.First(c => c.Name == channel.Key.Channel), [.. channel], file.Name, problems, notices);
        return problems.Count > 0 ? Outcome<LevelLog>.Refused([.. problems.OrderBy(p => p.Line)], notices) : Outcome<LevelLog>.Of(new(file.Name, levels), notices);
    }

    private static Row? ReadRow(DelimitedRow row, FitPlan plan, List<InputProblem> problems)
    {
        int before = problems.Count;
        string? build = row.RequiredText("build", problems), name = row.RequiredText("channel", problems), pointName = row.RequiredText("point", problems);
        Channel? channel = plan.Channels.FirstOrDefault(c => c.Name == name);
        if (name is not null && channel is null)
            problems.Add(row.Problem("channel", "a channel of channels.csv", plan.Channels.Count == 0 ? "The plan has no channels; add them to channels.csv." : NearestName.Remedy(name, [.. plan.Channels.Select(c => c.Name)])));
        if (channel is not null && pointName is not null && channel.Points.All(p => p.Name != pointName))
            problems.Add(row.Problem("point", $"a point of channel {channel.Name}", NearestName.Remedy(pointName, [.. channel.Points.Select(p => p.Name)])));
        string unit = row.Text("unit")?.ToLowerInvariant() is string written ? (written is "µm" or "μm" ? "um" : written) : "mm";
        if (!Lengths.TryGetValue(unit, out double factor)) problems.Add(row.Problem("unit", "mm, in, um or m", "Write one of these, or leave the unit blank for mm."));
        double? z = row.RequiredNumber("z", problems), x = row.Number("x", problems), y = row.Number("y", problems);
        if (x is null != y is null && problems.Count == before) problems.Add(row.Problem(x is null ? "x" : "y", "both x and y, or neither", "Give the whole place, or the height alone."));
        foreach ((string column, double? value) in new[] { ("x", x), ("y", y), ("z", z) })
        {
            if (value is double v && !NumberRange.CoordinateMm.Holds(v * factor)) problems.Add(row.Problem(column, NumberRange.CoordinateMm.Expected, NumberRange.CoordinateMm.Remedy));
        }
        double? uncertainty = row.Number("uncertainty", problems);
        if (uncertainty is double u && !NumberRange.UncertaintyMm.Holds(u * factor)) problems.Add(row.Problem("uncertainty", NumberRange.UncertaintyMm.Expected, NumberRange.UncertaintyMm.Remedy));
        Gauge? gauge = row.Text("gauge") is string gaugeName ? plan.FindGauge(gaugeName) : null;
        if (row.Text("gauge") is string asked && gauge is null && plan.Gauges.Count > 0)
            problems.Add(row.Problem("gauge", "a gauge of gauges.csv", NearestName.Remedy(asked, [.. plan.Gauges.Select(g => g.Name)], "A new gauge is added there.")));
        int? repeat = row.WholeNumber("repeat", problems);
        if (problems.Count > before || build is null || channel is null || pointName is null || z is null) return null;
        double? standard = uncertainty is double stated ? stated * factor / 2 : gauge?.UncertaintyMm / gauge?.CoverageFactor;
        return new(new(build, channel.Name, pointName, x * factor, y * factor, z.Value * factor, standard, 1, row.Line), repeat, row);
    }

    private static ChannelLevel Together(List<Row> taken)
    {
        ChannelLevel first = taken[0].Level;
        if (taken.Count == 1) return first;
        double? worst = taken.Any(t => t.Level.StandardUncertaintyMm is null) ? null : taken.Max(t => t.Level.StandardUncertaintyMm);
        bool places = taken.All(t => t.Level.X is not null);
        return first with
        {
            X = places ? taken.Average(t => t.Level.X) : null,
            Y = places ? taken.Average(t => t.Level.Y) : null,
            Z = taken.Average(t => t.Level.Z),
            StandardUncertaintyMm = worst / Math.Sqrt(taken.Count),
            Repeats = taken.Count,
        };
    }

    private static void CheckAgainstPlan(Channel channel, List<Row> rows, string source, List<InputProblem> problems, List<string> notices)
    {
        double[] nominal = [.. rows.Select(r => channel.Points.First(p => p.Name == r.Level.Point).Position.Z)];
        double off = Median([.. rows.Select((r, i) => r.Level.Z - nominal[i])]);
        if (Math.Abs(off) > SameDatumMm)
        {
            foreach ((string unit, double factor, string words) in new[] { ("in", 25.4, "inches"), ("m", 1000.0, "metres"), ("um", 0.001, "micrometres"), ("mm", 1 / 25.4, "millimetres that were taken for inches") })
            {
                double[] left = [.. rows.Select((r, i) => Math.Abs(r.Level.Z * factor - nominal[i]))];
                if (!(Median(left) <= Math.Min(SameDatumMm, 0.02 * Median([.. nominal.Select(Math.Abs)])))) continue;
                Row first = rows[0];
                problems.Add(first.Source.Problem("z", Invariant($"a height near {nominal[0]:0.#} mm, as the plan has it"), $"The heights of channel {channel.Name} look like {words}; write {unit} in column unit."));
                return;
            }
            notices.Add(Invariant($"{source}: the heights of channel {channel.Name} lie {Math.Abs(off):0} mm {(off > 0 ? "above" : "below")} the plan's; they are taken to be from another datum, and only their differences are used."));
        }
        for (int i = 0; i < rows.Count; i++)
        {
            double alone = rows[i].Level.Z - nominal[i] - off;
            if (rows.Count >= 4 && Math.Abs(alone) > 15)
                notices.Add(Invariant($"{source}:{rows[i].Level.Line}: point {rows[i].Level.Point} of channel {channel.Name} stands {Math.Abs(alone):0.0} mm {(alone > 0 ? "above" : "below")} where the others put it; check the height."));
        }
    }

    private static double Median(double[] values)
    {
        Array.Sort(values);
        return (values[(values.Length - 1) / 2] + values[values.Length / 2]) / 2;
    }

    private sealed record Row(ChannelLevel Level, int? Repeat, DelimitedRow Source);
}
