using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>What the rest of a sheet leads one to expect at each of its readings: target, displacement of the door, and the neighbours' share of its shape.</summary>
/// <remarks>METHOD.md, eq. 3. The neighbours are the two nearest sound stations on either side; the median of what remains there counts, so that one bad neighbour does not.</remarks>
internal sealed class Expectation
{
    private const int Each = 2;
    private readonly Dictionary<SheetPoint, double> _expected = new(ReferenceEqualityComparer.Instance);

    private Expectation(double scatter) => Scatter = scatter;

    /// <summary>Robust standard deviation of value less expectation, mm; at least the gauge's own.</summary>
    public double Scatter { get; }

    /// <summary>The expected value of a reading, less what expansion adds; null where its sheet has no other readings to go by.</summary>
    public double? Of(SheetPoint point) => _expected.TryGetValue(point, out double e) ? e : null;

    /// <summary>Works out what to expect of every sound reading of a characteristic; null where there are fewer than eight.</summary>
    public static Expectation? Of(DoorSheet sheet, Characteristic what, SeamFit? fit)
    {
        SheetPoint[] points = [.. sheet.Sound(what)];
        if (points.Length < 8) return null;
        bool fitted = fit is not null && (what == Characteristic.Gap || what == Characteristic.Flush);
        double[] explained = [.. points.Select(p => fitted ? fit!.Explained(p) : 0)], rest = [.. points.Select((p, i) => p.Deviation - explained[i])];
        double[] shape = [.. points.Select((_, i) => Shape(sheet.Door, points, rest, i))];
        double[] off = [.. rest.Select((r, i) => Math.Abs(r - shape[i])).Order()];
        double least = points.Select(p => p.StandardUncertainty ?? 0).Order().ElementAt(points.Length / 2);
        Expectation result = new(Math.Max(Math.Max(off[off.Length / 2] / 0.6745, least), 1e-6));
        for (int i = 0; i < points.Length; i++) result._expected[points[i]] = points[i].Target!.Value + explained[i] + shape[i];
        return result;
    }

    private static double Shape(Door door, SheetPoint[] points, double[] rest, int at)
    {
        List<double> near = [];
        foreach (int way in (int[])[-1, 1])
        {
            int found = 0;
            for (int k = 1; k < points.Length && found < Each; k++)
            {
                int j = ((at + way * k) % points.Length + points.Length) % points.Length;
                if (points[j].Station == points[at].Station) continue;
                // Across a bare stretch a neighbour tells nothing.
                int apart = Math.Abs(points[j].Station.Index - points[at].Station.Index);
                if (Math.Min(apart, door.Stations.Count - apart) > Each + 1) break;
                near.Add(rest[j]);
                found++;
            }
        }
        near.Sort();
        return near.Count == 0 ? 0 : near.Count % 2 == 1 ? near[near.Count / 2] : (near[near.Count / 2 - 1] + near[near.Count / 2]) / 2;
    }
}
