using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>transposed-stations: do two stations hold each other's values?</summary>
/// <remarks>METHOD.md, eq. 7: every pair is tried. It is named where both values stand out, the other's value fits each of them, and the gain is far beyond what the
/// best of all pairs gains by chance. Swaps smaller than the scatter cannot be seen.</remarks>
internal static class TranspositionCheck
{
    /// <summary>How far a value must stand out to be one of a pair, in scatters.</summary>
    internal const double StandsOut = 4;

    /// <summary>How near a value must come to its new place, in scatters.</summary>
    internal const double FitsIn = 3;

    /// <summary>Least fall of the sum of squared deviations, in squared scatters.</summary>
    internal const double LeastGain = 45;

    public static IEnumerable<Doubt> Find(DoorSheet sheet, SeamFit? fit)
    {
        int n = sheet.Door.Stations.Count;
        List<Told> told = [];
        foreach (Characteristic what in (Characteristic[])[Characteristic.Gap, Characteristic.Flush, Characteristic.LandGap])
        {
            if (Expectation.Of(sheet, what, fit) is not Expectation expectation) continue;
            Told one = new(what, new SheetPoint?[n], new double[n], new double[n], expectation.Scatter);
            foreach (SheetPoint p in sheet.Sound(what))
            {
                int i = p.Station.Index;
                if (one.At[i] is not null || expectation.Of(p) is not double e) continue;
                (one.At[i], one.Value[i], one.Expected[i]) = (p, p.Value, e);
            }
            told.Add(one);
        }
        bool[] taken = new bool[n];
        while (true)
        {
            (double Gain, int A, int B) best = (LeastGain, -1, -1);
            for (int i = 0; i < n; i++)
            {
                // A pair needs a value that stands out at either place.
                if (taken[i] || !told.Exists(t => t.StandsOut(i))) continue;
                for (int j = i + 1; j < n; j++)
                {
                    if (taken[j]) continue;
                    double gain = Gain(told, i, j).Gain;
                    if (gain > best.Gain) best = (gain, i, j);
                }
            }
            if (best.A < 0) yield break;
            taken[best.A] = taken[best.B] = true;
            List<Told> which = Gain(told, best.A, best.B).Which;
            (string a, string b) = (sheet.Order[best.A], sheet.Order[best.B]);
            Told shown = which[0];
            yield return new(DoubtKinds.TransposedStations, sheet.Door.Code, [a, b],
                Invariant($"The {Words.List([.. which.Select(t => t.What.Words)])} of {sheet.Door.Code} stations {a} and {b} fit much better when exchanged: {shown.What.Words} reads {shown.Value[best.A]:0.00} and {shown.Value[best.B]:0.00} mm where the rest of the sheet leads one to expect {shown.Expected[best.A]:0.00} and {shown.Expected[best.B]:0.00} mm."),
                "See whether the two were entered in each other's rows; correct them or read both again.", shown.At[best.A]!.Reading.Source, shown.At[best.A]!.Reading.Line);
        }
    }

    /// <summary>One characteristic by station index: the reading, its value, what to expect there, and the scatter.</summary>
    private sealed record Told(Characteristic What, SheetPoint?[] At, double[] Value, double[] Expected, double Scatter)
    {
        public bool StandsOut(int i) => At[i] is not null && Math.Abs(Value[i] - Expected[i]) > TranspositionCheck.StandsOut * Scatter;
    }

    private static (double Gain, List<Told> Which) Gain(List<Told> told, int a, int b)
    {
        double gain = 0, single = 0;
        List<Told> which = [];
        Told? clearest = null;
        bool together = true;
        foreach (Told t in told)
        {
            if (t.At[a] is null || t.At[b] is null) continue;
            double s = t.Scatter, pp = (t.Value[a] - t.Expected[a]) / s, qq = (t.Value[b] - t.Expected[b]) / s, pq = (t.Value[b] - t.Expected[a]) / s, qp = (t.Value[a] - t.Expected[b]) / s;
            double here = pp * pp + qq * qq - pq * pq - qp * qp, misfit = Math.Max(Math.Abs(pq), Math.Abs(qp));
            // What stands out here in another characteristic and is not cured by the exchange is a place where the door is truly out.
            if (misfit >= FitsIn && Math.Max(Math.Abs(pp), Math.Abs(qq)) > StandsOut && pq * pq + qp * qp > (pp * pp + qq * qq) / 2) return (0, []);
            // Rows exchanged as a whole: where one characteristic shows it, no other may speak against it.
            if (misfit >= FitsIn && here < 0) together = false;
            gain += here;
            if (here > 0) which.Add(t);
            if (here > single && misfit < FitsIn && Math.Min(Math.Abs(pp), Math.Abs(qq)) > StandsOut) (single, clearest) = (here, t);
        }
        if (clearest is null) return (0, []);
        return together && gain > single ? (gain, [clearest, .. which.Where(w => w != clearest)]) : (single, [clearest]);
    }
}
