using GapFlush.Inputs;

namespace GapFlush.Plan.Files;

/// <summary>Reads <c>seal-curves.csv</c>: the load of each seal over its compression.</summary>
internal static class SealCurvesCsv
{
    /// <summary>The points that could be read, in file order.</summary>
    /// <param name="folder">The plan.</param>
    /// <param name="seals">The seals there are, or null where they could not be read.</param>
    public static IReadOnlyList<SealLoadPoint> Read(PlanFolder folder, IReadOnlyList<Seal>? seals)
    {
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "seal-curves.csv", ["seal"], ["compression_percent", "load_n_per_m"]);
        List<SealLoadPoint> points = [];
        Dictionary<string, (SealLoadPoint Point, int Line)> last = [];
        string[]? known = seals?.Select(s => s.Name).Distinct().ToArray();
        foreach (PlanRow row in rows ?? [])
        {
            SealLoadPoint point = new(row.Required("seal"), row.RequiredNumber("compression_percent", NumberRange.Percent), row.RequiredNumber("load_n_per_m", NumberRange.NotNegative));
            if (known is not null && point.Seal.Length > 0 && !known.Contains(point.Seal))
                row.Refuse("seal", "a seal of seals.csv", NearestName.Remedy(point.Seal, known));
            if (!row.IsSound) continue;
            if (last.TryGetValue(point.Seal, out var before))
            {
                if (point.CompressionPercent <= before.Point.CompressionPercent)
                    row.Refuse("compression_percent", Invariant($"more compression than {before.Point.CompressionPercent} on line {before.Line}"), $"Put the points of seal {point.Seal} in order of rising compression, each compression once.");
                else if (point.LoadNPerM < before.Point.LoadNPerM)
                    row.Refuse("load_n_per_m", Invariant($"at least the load {before.Point.LoadNPerM} of line {before.Line}"), "A seal that is pressed farther pushes back no less; correct the load.");
            }
            last[point.Seal] = (point, row.Line);
            points.Add(point);
        }
        // A curve starts at no load without compression; that point need not be written, so one other point makes a curve.
        foreach ((string seal, (SealLoadPoint point, int line)) in last)
        {
            if (point.CompressionPercent == 0)
                folder.Problems.Add(new(folder.Find("seal-curves.csv")!.Name, line, "compression_percent", "0", $"a point of seal {seal} with compression", "Add the points of the load curve."));
        }
        return points;
    }
}
