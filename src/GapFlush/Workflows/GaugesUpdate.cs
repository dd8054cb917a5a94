using GapFlush.Inputs;

namespace GapFlush.Workflows;

/// <summary>Which uncertainty goes into gauges.csv.</summary>
public enum GaugeUpdateRule
{
    /// <summary>The study's, only where it is larger than what stands there.</summary>
    Larger,

    /// <summary>The study's, whatever stands there.</summary>
    Study,
}

/// <summary>gauges.csv with the uncertainty of a gauge study in it; nothing else of the file changes.</summary>
/// <param name="Bytes">The new file.</param>
/// <param name="Changes">What was changed and what was not, a sentence each.</param>
/// <param name="HasChanged">True where a row changed.</param>
public sealed record GaugesUpdate(byte[] Bytes, IReadOnlyList<string> Changes, bool HasChanged)
{
    /// <summary>Makes the new file.</summary>
    /// <param name="bytes">gauges.csv as it is.</param>
    /// <param name="source">Its name.</param>
    /// <param name="study">The study.</param>
    /// <param name="pieces">Studies of reference pieces: the largest bias of a gauge counts as an error of known size, added in quadrature.</param>
    /// <param name="rule">Which uncertainty to write.</param>
    public static Outcome<GaugesUpdate> Of(byte[] bytes, string source, GaugeStudyRun study, IReadOnlyList<PieceStudy> pieces, GaugeUpdateRule rule)
    {
        Outcome<DelimitedTable> form = DelimitedTable.Read(InputFile.FromBytes(source, bytes), DelimitedOptions.Any("uncertainty", "coverage_factor"));
        if (!form.IsUsable) return Outcome<GaugesUpdate>.Refused(form.Problems);
        DelimitedTable table = form.Value;
        if (!table.Has("uncertainty")) return Outcome<GaugesUpdate>.Refused([new(source, table.HeaderLine, "uncertainty", "", "a column for the expanded uncertainty, mm", "Add the column uncertainty to the header, and a blank for it in each row.")]);
        int column = table.Columns.ToList().FindIndex(c => string.Equals(c, "uncertainty", StringComparison.OrdinalIgnoreCase));
        List<(int, int, string)> cells = [];
        List<string> changes = [];
        foreach (IGrouping<string, GaugeLine> gauge in study.Lines.Where(l => l.Gauge is not null).GroupBy(l => l.Gauge!))
        {
            if (gauge.All(l => l.MeasuringSd is null))
            {
                changes.Add($"{gauge.Key}: not written, the study was not analysed: {gauge.First().Reason}.");
                continue;
            }
            if (table.Rows.FirstOrDefault(r => r["gauge"] == gauge.Key) is not DelimitedRow row)
            {
                changes.Add($"{gauge.Key}: not written, {source} has no row of that gauge.");
                continue;
            }
            List<InputProblem> problems = [];
            double factor = row.Number("coverage_factor", problems) ?? 2;
            double? stands = row.Number("uncertainty", problems);
            if (problems.Count > 0) return Outcome<GaugesUpdate>.Refused(problems);
            double bias = pieces.Where(p => p.Gauge == gauge.Key).Max(p => Math.Abs(p.LargestBiasMm ?? 0) as double?) ?? 0;
            double sd = gauge.Max(l => l.MeasuringSd ?? 0), expanded = factor * Math.Sqrt(sd * sd + bias * bias);
            string now = Invariant($"{Math.Ceiling(expanded * 1e4 - 1e-6) / 1e4:0.0###}"), was = stands is double s ? Invariant($"{s:0.0###} mm") : "nothing", what = Invariant($"k = {factor:0.##}, sd {sd:0.0000} mm{(bias > 0 ? Invariant($", bias {bias:0.0000} mm") : "")}");
            if (rule == GaugeUpdateRule.Larger && stands >= expanded)
            {
                changes.Add($"{gauge.Key}: left at {was}, since the study gives {now} mm ({what}) and does not see the error of the certificate.");
                continue;
            }
            cells.Add((row.Line, column, table.DecimalComma ? now.Replace('.', ',') : now));
            changes.Add($"{gauge.Key}: {now} mm written, was {was} ({what}).{(stands > expanded ? " This is smaller than before: the study does not see the error of the certificate." : "")}");
        }
        return Outcome<GaugesUpdate>.Of(new(cells.Count == 0 ? bytes : CellEdit.Set(bytes, table.Separator, cells), changes, cells.Count > 0));
    }
}
