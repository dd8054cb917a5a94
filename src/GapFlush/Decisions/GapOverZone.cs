using System.Collections.Concurrent;
using GapFlush.Measurements;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Decisions;

/// <summary>What the gaps of a zone say together: their range, and their taper along the seam.</summary>
/// <remarks>
/// <para>Method: METHOD.md, eq. 8 to 10. Range: largest minus smallest. Taper: least-squares slope against the developed length along the seam, each
/// station weighted by its uncertainty where all are known; mm per m, positive where the gap widens with rising station order.</para>
/// <para>Uncertainty of the range: with many stations the largest and the smallest are picked partly for their errors, so the plain difference of two values would claim too
/// much. Stated is the half width that holds all differences at once (the range of n errors at 95.45 %); the true range lies within it.</para>
/// <para>No value: a gap of the zone is missing, fewer than two stations (range) or three (taper), or for the taper a zone that is not one run of stations.</para>
/// </remarks>
public static class GapOverZone
{
    private static readonly ConcurrentDictionary<int, double> Quantiles = new();

    /// <summary>Gap range and gap taper of a zone, in that order.</summary>
    /// <param name="door">The door.</param>
    /// <param name="zone">One of its zones.</param>
    /// <param name="gaps">The gap measurement of each station by name; those without a value count as missing.</param>
    /// <param name="build">Serial, for the result.</param>
    /// <param name="stage">Stage, for the result.</param>
    public static IReadOnlyList<Measurement> Of(Door door, string zone, IReadOnlyDictionary<string, Measurement> gaps, string build, string? stage)
    {
        Station[] stations = [.. door.Stations.Where(s => s.Zone == zone)];
        Measurement?[] found = [.. stations.Select(s => gaps.TryGetValue(s.Name, out Measurement? m) && m.Value is not null ? m : null)];
        Measurement range = Start(Characteristic.GapRange), taper = Start(Characteristic.GapTaper);
        string[] missing = [.. stations.Where((_, i) => found[i] is null).Select(s => s.Name)];
        if (missing.Length > 0)
        {
            string why = $"no gap at {(missing.Length == 1 ? "station" : "stations")} {string.Join(", ", missing)}";
            return [range with { Reason = why }, taper with { Reason = why }];
        }
        Measurement[] all = [.. found.OfType<Measurement>()];
        return [Range(range, stations, all), Taper(taper, door, stations, all)];

        Measurement Start(Characteristic characteristic) => new()
        {
            Build = build,
            Door = door.Code,
            Zone = zone,
            Characteristic = characteristic,
            Definition = door.DefinitionOf(characteristic),
            Stage = stage,
            Origin = MeasurementOrigin.Derived,
        };
    }

    private static Measurement Range(Measurement start, Station[] stations, Measurement[] gaps)
    {
        if (gaps.Length < 2) return start with { Reason = "a range needs two stations" };
        int high = 0, low = 0;
        for (int i = 1; i < gaps.Length; i++)
        {
            if (gaps[i].Value > gaps[high].Value) high = i;
            if (gaps[i].Value < gaps[low].Value) low = i;
        }
        Measurement result = start with { Value = gaps[high].Value - gaps[low].Value, RawValue = gaps[high].Value - gaps[low].Value, Reason = $"largest at {stations[high].Name}, smallest at {stations[low].Name}" };
        if (gaps.Any(g => g.StandardUncertainty is null)) return result;
        double u = gaps.Max(g => g.StandardUncertainty!.Value), freedom = gaps.Min(g => g.DegreesOfFreedom);
        double factor = gaps.Max(g => g.CoverageFactor) / 2;   // few degrees of freedom widen this interval as they widen that of one gap
        double half = RangeQuantile(gaps.Length) * u * factor;
        return result with
        {
            Budget = [new(Invariant($"gaps of {gaps.Length} stations, the largest and the smallest taken"), half / 2, freedom)],
            StandardUncertainty = half / 2,
            DegreesOfFreedom = freedom,
            CoverageFactor = 2,
        };
    }

    private static Measurement Taper(Measurement start, Door door, Station[] stations, Measurement[] gaps)
    {
        if (gaps.Length < 3) return start with { Reason = "a taper needs three stations" };
        if (AlongRun(door, stations) is not double[] along) return start with { Reason = "the zone is not one run of stations" };
        if (TaperShares(along, [.. gaps.Select(g => g.StandardUncertainty)]) is not double[] share) return start with { Reason = "all stations lie at one place" };
        double slope = TaperOf(share, [.. gaps.Select(g => g.Value!.Value)]);
        Measurement result = start with { Value = slope, RawValue = slope };
        if (gaps.Any(g => g.StandardUncertainty is null)) return result;
        return Derived.WithBudget(result, new([.. gaps.Select((g, i) => UncertaintyComponent.Of($"gap at {stations[i].Name}", share[i], g.StandardUncertainty!.Value, g.DegreesOfFreedom))]));
    }

    /// <summary>What each mm of gap of a zone's stations adds to the taper, mm per m; null where all stations lie at one place.</summary>
    /// <param name="along">Developed length within the zone, as <see cref="AlongRun"/> gives it.</param>
    /// <param name="uncertainty">Standard uncertainty of each gap; weights only where all are known.</param>
    internal static double[]? TaperShares(double[] along, double?[] uncertainty)
    {
        bool isKnown = uncertainty.All(u => u is > 0);
        double[] w = [.. uncertainty.Select(u => isKnown ? 1 / (u!.Value * u.Value) : 1)];
        double total = w.Sum(), mean = w.Zip(along, (a, b) => a * b).Sum() / total;
        double squares = w.Zip(along, (a, x) => a * (x - mean) * (x - mean)).Sum();
        return squares > 0 ? [.. w.Zip(along, (a, x) => a * (x - mean) / squares * 1000)] : null;
    }

    /// <summary>The taper of gaps, mm per m. About the mean gap: shares add up to nought, and a common gap would only bring rounding.</summary>
    internal static double TaperOf(ReadOnlySpan<double> shares, ReadOnlySpan<double> gapsMm)
    {
        double sum = 0, slope = 0;
        foreach (double gap in gapsMm) sum += gap;
        double mean = sum / gapsMm.Length;
        for (int i = 0; i < shares.Length; i++) slope += shares[i] * (gapsMm[i] - mean);
        return slope;
    }

    /// <summary>Developed length within a zone; one that runs over the first station goes on from the end of the outline. Null where the zone is broken.</summary>
    internal static double[]? AlongRun(Door door, Station[] stations)
    {
        int n = door.Stations.Count, breaks = 0, first = 0;
        for (int i = 0; i < stations.Length; i++)
        {
            if ((stations[i].Index + 1) % n == stations[(i + 1) % stations.Length].Index) continue;
            breaks++;
            first = (i + 1) % stations.Length;
        }
        if (breaks > 1) return null;
        double start = stations[first].AlongMm;
        return [.. stations.Select(s => (s.AlongMm - start + door.PerimeterMm) % door.PerimeterMm)];
    }

    /// <summary>The range that n normal errors of standard deviation 1 stay below with a probability of 95.45 %; 2.83 for two, 4.33 for eight.</summary>
    internal static double RangeQuantile(int n) => Quantiles.GetOrAdd(n, count => Roots.Between(r => RangeDistribution.UpperTail(r, count) - (1 - UncertaintyBudget.ProbabilityOfTwo), 0.01, 20));
}
