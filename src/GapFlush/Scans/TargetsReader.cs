using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Plan.Files;

namespace GapFlush.Scans;

/// <summary>Reads the places of targets in a scan's own axes: <c>datum,x,y,z</c>.</summary>
public static class TargetsReader
{
    /// <summary>Reads a file of targets; each must be a datum of the plan, named once.</summary>
    public static Outcome<ScanTargets> Read(InputFile file, FitPlan plan)
    {
        Outcome<DelimitedTable> read = DelimitedTable.Read(file, DelimitedOptions.Any("x", "y", "z"));
        if (!read.IsUsable) return Outcome<ScanTargets>.Refused(read.Problems, read.Notices);
        DelimitedTable table = read.Value;
        List<InputProblem> problems = [.. table.Missing("datum", "x", "y", "z")];
        if (plan.Datums.Count == 0) problems.Add(new(file.Name, 0, "", "targets", "datums in the plan to hold them against", "Add datums.csv to the plan, or register without --targets."));
        if (problems.Count > 0) return Outcome<ScanTargets>.Refused(problems, read.Notices);
        List<(Datum, Point3)> targets = [];
        foreach (DelimitedRow row in table.Rows)
        {
            string name = row["datum"];
            Datum? datum = plan.Datums.FirstOrDefault(d => d.Name == name);
            double[] at = new double[3];
            bool good = true;
            foreach ((string column, int k) in new[] { ("x", 0), ("y", 1), ("z", 2) })
            {
                string text = table.DecimalComma ? row[column].Replace(',', '.') : row[column];
                if (double.TryParse(text, System.Globalization.NumberStyles.Float, System.Globalization.CultureInfo.InvariantCulture, out at[k]) && NumberRange.CoordinateMm.Holds(at[k])) continue;
                problems.Add(new(file.Name, row.Line, column, row[column], "a coordinate: a number within 1000000", "Write the coordinate as a plain number, in the unit of the scan."));
                good = false;
            }
            if (datum is null) problems.Add(new(file.Name, row.Line, "datum", name, "a datum of the plan", $"The plan has {string.Join(", ", plan.Datums.Select(d => d.Name))}."));
            else if (targets.Any(t => t.Item1 == datum)) problems.Add(new(file.Name, row.Line, "datum", name, "each datum once", "Take one of the rows out."));
            else if (good) targets.Add((datum, new(at[0], at[1], at[2])));
        }
        return problems.Count > 0 ? Outcome<ScanTargets>.Refused(problems, read.Notices) : Outcome<ScanTargets>.Of(new(targets) { Source = file.Name }, read.Notices);
    }
}
