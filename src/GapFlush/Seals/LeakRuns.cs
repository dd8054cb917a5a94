namespace GapFlush.Seals;

/// <summary>Tells the stretches of a seal below its least compression by stations, with how sure they are.</summary>
/// <remarks>
/// <para>Method: METHOD.md, eq. 10. The ring is traced three times: as measured, with every compression raised by its expanded uncertainty (what is then still below is proven) and
/// with every one lowered by it (what could be below). All readings off the same way at once is the worst that a gauge error shared by all can do.</para>
/// <para>A run shorter than the spacing of the stations can hide between two of them: see <see cref="SealRing.WidestSpacingMm"/>.</para>
/// </remarks>
public static class LeakRuns
{
    /// <summary>The runs of a traced ring.</summary>
    /// <param name="stations">The stations it was traced from, in order.</param>
    /// <param name="zones">The zone of each station.</param>
    /// <param name="ring">The ring.</param>
    /// <param name="leakLengthMm">The plan's leak length, or null.</param>
    /// <param name="expandedPercent">Expanded uncertainty of the compression of each station, null where it is not known.</param>
    public static IReadOnlyList<LeakRun> Of(IReadOnlyList<SealStation> stations, IReadOnlyList<string> zones, SealRing ring, double? leakLengthMm, IReadOnlyList<double?> expandedPercent)
    {
        if (ring.Below.Count == 0) return [];
        SealRing raised = Shifted(1), lowered = Shifted(-1);
        return [.. ring.Below.Select(Tell)];

        SealRing Shifted(int sign) => SealRing.Trace([.. stations.Select((s, i) => s with { CompressionPercent = s.CompressionPercent + sign * (expandedPercent[i] ?? 0) })], ring.PerimeterMm);

        LeakRun Tell(SealRun run)
        {
            int n = stations.Count, first = FirstFrom(run.FromMm);
            // What it rests on: the stations in it and the neighbours between which it starts and ends.
            List<int> inside = [];
            for (int k = 0; k < n && Along(stations[(first + k) % n].AlongMm, run.FromMm) <= run.LengthMm; k++) inside.Add((first + k) % n);
            int before = (first + n - 1) % n, after = (first + inside.Count) % n;
            int[] rests = [.. inside.Append(before).Append(after).Distinct()];
            bool known = rests.All(i => !stations[i].HasSeal || stations[i].CompressionPercent is null || expandedPercent[i] is not null);
            double proven = raised.Below.Sum(r => Overlap(r, run)), possible = lowered.Below.Where(r => Overlap(r, run) > 0).Sum(r => r.LengthMm);
            string[] touched = [.. inside.Select(i => zones[i]).DefaultIfEmpty(zones[Nearest(run.FromMm)]).Distinct()];
            return new(run, Words(run.FromMm), Words(run.ToMm), stations[Nearest(run.ExtremeAtMm)].Station, [.. inside.Select(i => stations[i].Station)], touched,
                known ? proven : null, known ? Math.Max(possible, run.LengthMm) : null, rests.Any(i => stations[i].IsPredicted && stations[i].CompressionPercent is not null),
                leakLengthMm is not double least || run.LengthMm > least);
        }

        // How far a place lies beyond another, going round.
        double Along(double mm, double fromMm) => ((mm - fromMm) % ring.PerimeterMm + ring.PerimeterMm) % ring.PerimeterMm;

        int FirstFrom(double mm) => Enumerable.Range(0, stations.Count).MinBy(i => Along(stations[i].AlongMm, mm));

        int Nearest(double mm) => Enumerable.Range(0, stations.Count).MinBy(i => Math.Min(Along(stations[i].AlongMm, mm), Along(mm, stations[i].AlongMm)));

        string Words(double mm)
        {
            int at = Enumerable.Range(0, stations.Count).MinBy(i => Along(mm, stations[i].AlongMm));
            double past = Along(mm, stations[at].AlongMm);
            return past < 0.5 ? stations[at].Station : Invariant($"{past:0} mm after {stations[at].Station}");
        }

        double Overlap(SealRun one, SealRun run)
        {
            if (one.LengthMm >= ring.PerimeterMm || run.LengthMm >= ring.PerimeterMm) return Math.Min(one.LengthMm, run.LengthMm);
            double start = Along(one.FromMm, run.FromMm);
            // It may start in the run, or before it and reach over the run's start; on a ring both can be.
            return Math.Max(0, Math.Min(start + one.LengthMm, run.LengthMm) - start) + Math.Max(0, Math.Min(start + one.LengthMm - ring.PerimeterMm, run.LengthMm));
        }
    }
}
