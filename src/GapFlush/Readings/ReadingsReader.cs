using System.Security.Cryptography;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Readings;

/// <summary>Reads a file of gauge readings.</summary>
/// <remarks>
/// <para>Columns: <c>build, door, station, characteristic, value</c> and, where present, <c>unit, gauge, inspector, taken_at, repeat, temperature_c, stage,
/// definition, uncertainty, plan_issue, note</c>. Form as <see cref="DelimitedTable"/> reads it. Millimetres where no unit is given; the uncertainty
/// (expanded, k = 2) is in the unit of its row.</para>
/// <para>Only units are converted: 1 in = 25.4 mm exactly (international inch, 1959), 1 um = 0.001 mm.</para>
/// <para>A blank stage is the plan's only stage where it has exactly one, and null otherwise. A time without an offset is taken as it stands, with
/// offset zero, so that every machine reads the same; a day without time is its midnight.</para>
/// <para>Names must stand in the plan, letter by letter; characteristic, unit and definition in any letter case. Gauges are checked where the plan lists any.
/// A row that repeats another row's mistake is named with it, not again.</para>
/// </remarks>
public static class ReadingsReader
{
    private static readonly string[] Required = ["build", "door", "station", "characteristic", "value"];
    private static readonly string[] Optional =
        ["unit", "gauge", "inspector", "taken_at", "repeat", "temperature_c", "stage", "definition", "uncertainty", "plan_issue", "note"];

    /// <summary>Every column that the reader understands, required ones first.</summary>
    public static IReadOnlyList<string> Columns { get; } = [.. Required, .. Optional];

    /// <summary>Reads a file of readings against a plan, or says everything that is wrong with it.</summary>
    public static Outcome<ReadingLog> Read(InputFile file, FitPlan plan)
    {
        byte[] bytes = AllBytes(file);
        Outcome<DelimitedTable> form = DelimitedTable.Read(InputFile.FromBytes(file.Name, bytes), DelimitedOptions.Any("value", "temperature_c", "uncertainty"));
        if (!form.IsUsable) return Outcome<ReadingLog>.Refused(form.Problems, form.Notices);
        DelimitedTable table = form.Value;
        List<string> notices = [.. form.Notices];
        if (table.ColumnsOtherThan(Columns) is { Count: > 0 } unknown)
            notices.Add($"{file.Name}: not understood and left aside: column{(unknown.Count > 1 ? "s" : "")} {string.Join(", ", unknown)}.");
        if (plan.Gauges.Count == 0 && table.Rows.Any(r => r.Text("gauge") is not null))
            notices.Add($"{file.Name}: gauges are named, but the plan has no gauges.csv; their resolution, uncertainty and calibration are not known.");

        if (table.Has("entry") && table.Has("corrects") && table.Has("link"))
            return Outcome<ReadingLog>.Refused([new(file.Name, 1, "", "an export of a record, corrected readings among them", "a file of readings", "Take it back with 'gapflush record add', and name the record with --record.")], notices);
        IReadOnlyList<InputProblem> missing = table.Missing(Required);
        if (missing.Count > 0) return Outcome<ReadingLog>.Refused(missing, notices);
        List<InputProblem> problems = [];
        List<Reading> readings = [];
        foreach (DelimitedRow row in table.Rows)
        {
            if (new RowReader(plan, file.Name, row, table.DecimalComma, problems).Read() is Reading reading) readings.Add(reading);
        }
        return problems.Count > 0
            ? Outcome<ReadingLog>.Refused(RepeatedProblems.Joined(problems), notices)
            : Outcome<ReadingLog>.Of(new(file.Name, readings, Convert.ToHexStringLower(SHA256.HashData(bytes)), notices), notices);
    }

    /// <summary>What is wrong with a file whatever the plan: its form and its columns. For a plan that cannot be used.</summary>
    public static IReadOnlyList<InputProblem> FormProblems(InputFile file)
    {
        Outcome<DelimitedTable> form = DelimitedTable.Read(InputFile.FromBytes(file.Name, AllBytes(file)), DelimitedOptions.Any("value", "temperature_c", "uncertainty"));
        return form.IsUsable ? form.Value.Missing(Required) : form.Problems;
    }

    private static byte[] AllBytes(InputFile file)
    {
        using Stream stream = file.Open();
        using MemoryStream all = new();
        stream.CopyTo(all);
        return all.ToArray();
    }
}
