using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>definition-mix: do all values mean what the plan means?</summary>
internal static class DefinitionCheck
{
    /// <summary>Least step that is taken for another definition, mm: two edge radii of 0.5 mm, or two ways of reading a flush. Moulds and hinges make no step at both ends of a zone.</summary>
    internal const double LeastStepMm = 0.6;

    /// <summary>Values that say that they have another definition.</summary>
    public static IEnumerable<Doubt> Marked(CaseFile file)
    {
        foreach (DoorSheet sheet in file.Sheets)
        {
            foreach (var rows in sheet.Everything.Where(p => p.Reading.Definition is string d && d != sheet.Door.DefinitionOf(p.Characteristic)).GroupBy(p => (p.Characteristic, p.Reading.Definition)))
            {
                string[] stations = [.. rows.Select(p => p.Station.Name).Distinct()];
                yield return new(DoubtKinds.DefinitionMix, sheet.Door.Code, stations,
                    $"{Words.Count(rows.Count(), "reading")} of {rows.Key.Characteristic.Words} at {sheet.Door.Code} {Words.Stations(stations, sheet.Order)} say they are to definition {rows.Key.Definition}; the plan's limits are for {sheet.Door.DefinitionOf(rows.Key.Characteristic)}.",
                    "Values of two definitions are not compared; read these stations again to the plan's definition.", rows.First().Reading.Source, rows.First().Reading.Line);
            }
        }
    }

    /// <summary>Values that do not say so: a zone that steps away from the rest at both its ends and comes back. METHOD.md, eq. 4.</summary>
    public static IEnumerable<Doubt> Unmarked(DoorSheet sheet)
    {
        if (sheet.Fit(constants: false) is not SeamFit all) yield break;
        foreach (Characteristic what in (Characteristic[])[Characteristic.Gap, Characteristic.Flush])
        {
            SheetPoint[] points = [.. sheet.Sound(what)];
            foreach (string zone in sheet.Door.Zones)
            {
                SheetPoint[] inside = [.. points.Where(p => p.Station.Zone == zone)];
                if (inside.Length < 3 || inside.Length > points.Length / 2 || Step(sheet, all, points, inside) is not double rough || Math.Abs(rough) < LeastStepMm / 2) continue;
                // The zone must not have a say in what the rest of the door tells.
                if (SeamFit.Of(sheet.Door, [.. sheet.Seam.Except(inside)], constants: false) is not SeamFit rest || Step(sheet, rest, points, inside) is not double step) continue;
                if (!StandsApart(sheet, rest, points, inside, step)) continue;
                sheet.SetAside(inside);
                string[] stations = [.. inside.Select(p => p.Station.Name).Distinct()];
                yield return new(DoubtKinds.DefinitionMix, sheet.Door.Code, stations,
                    Invariant($"All {inside.Length} {what.Words} readings of zone {zone} of {sheet.Door.Code} lie {Words.Signed(step)} from what the rest of the door tells, with a step at either end of the zone. They are marked as the plan's definition ({sheet.Door.DefinitionOf(what)}), but a step like this comes from reading to another one, past the edge radii for instance."),
                    "Ask how this zone was read; read it again to the plan's definition, or write the definition into the sheet.", inside[0].Reading.Source, inside[0].Reading.Line);
            }
        }
    }

    private static double? Step(DoorSheet sheet, SeamFit fit, SheetPoint[] points, SheetPoint[] inside)
    {
        double[] edges = [.. Edges(sheet, points, inside).Select(p => p.Deviation - fit.Explained(p))];
        return edges.Length < 2 ? null : Median(inside.Select(p => p.Deviation - fit.Explained(p))) - Median(edges);
    }

    // The step is much larger than the scatter, every reading inside shares it, and the stations just outside either end do not.
    private static bool StandsApart(DoorSheet sheet, SeamFit fit, SheetPoint[] points, SheetPoint[] inside, double step)
    {
        double least = Math.Max(LeastStepMm, 8 * fit.Scale), outside = Median(Edges(sheet, points, inside).Select(Left));
        return Math.Abs(step) >= least && Edges(sheet, points, inside).All(p => Math.Abs(Left(p) - outside) < Math.Abs(step) / 2) && inside.All(p => Math.Abs(Left(p) - outside - step) < Math.Abs(step) / 2);

        double Left(SheetPoint p) => p.Deviation - fit.Explained(p);
    }

    /// <summary>The readings outside the zone that are at most two stations from one inside.</summary>
    private static SheetPoint[] Edges(DoorSheet sheet, SheetPoint[] points, SheetPoint[] inside)
    {
        int n = sheet.Door.Stations.Count;
        HashSet<int> near = [.. inside.SelectMany(p => Enumerable.Range(-2, 5).Select(k => (p.Station.Index + k + n) % n))];
        return [.. points.Where(p => p.Station.Zone != inside[0].Station.Zone && near.Contains(p.Station.Index))];
    }

    private static double Median(IEnumerable<double> values)
    {
        double[] sorted = [.. values.Order()];
        return sorted.Length % 2 == 1 ? sorted[sorted.Length / 2] : (sorted[sorted.Length / 2 - 1] + sorted[sorted.Length / 2]) / 2;
    }
}
