using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>stuck-value: does one value stand at more stations in a row than chance allows?</summary>
/// <remarks>METHOD.md, eq. 8: with p the chance that two neighbours read alike, a run of L among n readings is expected n·p^(L-1) times.
/// p is the larger of what the rest of the sheet shows and what resolution and scatter give.</remarks>
internal static class StuckValueCheck
{
    /// <summary>Runs expected less often than this are asked about.</summary>
    internal const double LeastExpected = 1e-5;

    internal const int ShortestRun = 5;

    public static IEnumerable<Doubt> Find(CaseFile file)
    {
        foreach (DoorSheet sheet in file.Sheets)
        {
            foreach (Characteristic what in (Characteristic[])[Characteristic.Gap, Characteristic.Flush, Characteristic.LandGap])
            {
                SheetPoint[] first = [.. sheet.All(what).DistinctBy(p => p.Station.Name)];
                if (first.Length < ShortestRun || LongestRun(first) is not (int start, int length) || length < ShortestRun) continue;
                SheetPoint[] run = [.. first.Skip(start).Take(length)];
                double step = StepOf(sheet, run[0].Reading);
                // A gauge that is too coarse for the tolerance reads alike over whole sides; that is asked about as gauge-coarse.
                if (step > GaugeCertificateCheck.MostStepShare * run.Min(p => p.Width)) continue;
                double expected = first.Length * Math.Pow(ChanceOfEqual(first, start, length, step), length - 1);
                if (expected >= LeastExpected) continue;
                sheet.SetAside(run);
                string[] stations = [.. run.Select(p => p.Station.Name)];
                yield return new(DoubtKinds.StuckValue, sheet.Door.Code, stations,
                    $"The {what.Words} of {sheet.Door.Code} reads {run[0].Reading.WrittenValue} {run[0].Reading.WrittenUnit} at {length} stations in a row, {Words.Stations(stations, sheet.Order)}; from the scatter of the rest such a run comes less than once in {Rounded(1 / expected)} sheets.",
                    "See whether the gauge moves freely and whether these stations were read at all; read them again.", run[0].Reading.Source, run[0].Reading.Line);
            }
        }
    }

    private static string Rounded(double times) => times >= 1e6 ? "a million" : Invariant($"{Math.Floor(times / 1000) * 1000:#,0}").Replace(',', ' ');

    private static (int Start, int Length)? LongestRun(SheetPoint[] points)
    {
        (int Start, int Length)? best = null;
        for (int i = 0; i < points.Length;)
        {
            int j = i;
            while (j + 1 < points.Length && points[j + 1].Station.Index == points[j].Station.Index + 1 && points[j + 1].Reading.Value == points[i].Reading.Value) j++;
            if (best is null || j - i + 1 > best.Value.Length) best = (i, j - i + 1);
            i = j + 1;
        }
        return best;
    }

    /// <summary>The larger of the gauge's resolution and the last decimal written, mm.</summary>
    private static double StepOf(DoorSheet sheet, Reading r)
    {
        double written = Math.Pow(10, -r.WrittenDecimals) * (r.WrittenUnit == "in" ? 25.4 : r.WrittenUnit == "um" ? 0.001 : 1);
        return Math.Max(written, (r.Gauge is null ? null : sheet.Plan.FindGauge(r.Gauge)?.ResolutionMm) ?? 0);
    }

    private static double ChanceOfEqual(SheetPoint[] points, int start, int length, double resolution)
    {
        List<double> steps = [];
        int equal = 0;
        for (int i = 0; i + 1 < points.Length; i++)
        {
            if (i + 1 >= start && i < start + length) continue;
            // Where the nominal steps, equal values are unlikelier; such pairs are left out.
            if (points[i].Target != points[i + 1].Target) continue;
            double step = Math.Abs(points[i + 1].Reading.Value - points[i].Reading.Value);
            steps.Add(step);
            if (step < 1e-9) equal++;
        }
        double shown = (equal + 1.0) / (steps.Count + 2);
        // Differences of two readings with normal scatter: density 1/(sd·sqrt(2π)) at 0, times one step. A sheet without other readings is given the scatter of its gauge.
        double sd = steps.Count > 4 ? steps.Order().ElementAt(steps.Count / 2) / 0.6745 : points[start].StandardUncertainty * Math.Sqrt(2) ?? 0;
        double reckoned = sd > 0 ? resolution / (sd * Math.Sqrt(2 * Math.PI)) : 0;
        return Math.Min(0.95, Math.Max(shown, reckoned));
    }
}
