using GapFlush.Measurements;
using GapFlush.Numerics;

namespace GapFlush.Adjustment;

/// <summary>Draws doors that the readings allow, and counts how many are within before and after some moves.</summary>
internal static class OddsDraw
{
    public const int Draws = 4000;

    private const ulong Seed = 20;

    /// <summary>Draws.</summary>
    /// <param name="asked">What is asked of the door.</param>
    /// <param name="moves">The moves.</param>
    /// <param name="letOut">Asked values that stay outside whatever is moved.</param>
    /// <param name="draws">How many doors.</param>
    public static AdjustmentOdds Of(AskedOfDoor asked, ReadOnlySpan<double> moves, IReadOnlyList<bool> letOut, int draws = Draws)
    {
        AdjustmentOdds shared = Of(asked, moves, letOut, draws, true), own = Of(asked, moves, letOut, draws, false);
        return shared with
        {
            Before = Math.Min(shared.Before, own.Before),
            After = Math.Min(shared.After, own.After),
            CurableAfter = Math.Min(shared.CurableAfter, own.CurableAfter),
            Worse = Math.Max(shared.Worse, own.Worse),
        };
    }

    private static AdjustmentOdds Of(AskedOfDoor asked, ReadOnlySpan<double> moves, IReadOnlyList<bool> letOut, int draws, bool isShared)
    {
        FitProblem problem = asked.Problem;
        int n = problem.AskedValues.Length;
        double[] before = new double[problem.Quantities.Length], after = new double[before.Length];
        problem.At(new double[problem.Moves], before);
        problem.At(moves, after);

        // Errors: one for each reading, and one for each shared source.
        Dictionary<Measurement, int> index = new(ReferenceEqualityComparer.Instance);
        List<(double Own, int Common, double Share)> errors = [];
        Dictionary<string, int> commons = [];
        (int Error, double Factor)[][] of = [.. asked.Sources.Select(s => s.Select(m => (IndexOf(m.Measurement), m.Factor)).ToArray())];
        int unknown = index.Keys.Count(m => m.StandardUncertainty is null);

        SeededRandom random = new(Seed);
        double[] error = new double[errors.Count], common = new double[commons.Count];
        int inBefore = 0, inAfter = 0, curable = 0, worse = 0;
        for (int draw = 0; draw < draws; draw++)
        {
            for (int c = 0; c < common.Length; c++) common[c] = random.Normal();
            for (int e = 0; e < error.Length; e++)
            {
                (double own, int source, double share) = errors[e];
                error[e] = own * random.Normal() + (source >= 0 ? share * common[source] : 0);
            }
            int outBefore = 0, outAfter = 0, outCurable = 0;
            for (int a = 0; a < n; a++)
            {
                if (Beyond(a, before) > FitProblem.Inside) outBefore++;
                if (Beyond(a, after) <= FitProblem.Inside) continue;
                outAfter++;
                if (!letOut[a]) outCurable++;
            }
            if (outBefore == 0) inBefore++;
            if (outAfter == 0) inAfter++;
            if (outCurable == 0) curable++;
            if (outAfter > outBefore) worse++;
        }
        return new((double)inBefore / draws, (double)inAfter / draws, (double)curable / draws, (double)worse / draws, draws, unknown);

        double Beyond(int a, double[] values)
        {
            FitProblem.Asked value = problem.AskedValues[a];
            if (value.RangeOf is not int[] range)
            {
                double shift = 0;
                foreach ((int e, double factor) in of[a]) shift += factor * error[e];
                double v = values[value.Quantity] + shift;
                return Math.Max(v - value.High, value.Low - v);
            }
            double high = double.NegativeInfinity, low = double.PositiveInfinity;
            for (int i = 0; i < range.Length; i++)
            {
                double v = values[range[i]] + of[a][i].Factor * error[of[a][i].Error];
                (high, low) = (Math.Max(high, v), Math.Min(low, v));
            }
            return high - low - value.High;
        }

        int IndexOf(Measurement m)
        {
            if (index.TryGetValue(m, out int at)) return at;
            double u = m.StandardUncertainty ?? 0, share = 0;
            int source = -1;
            if (isShared && u > 0 && m.Budget.FirstOrDefault(IsCommon) is UncertaintyComponent certificate)
            {
                share = Math.Min(u, certificate.StandardUncertainty);
                if (!commons.TryGetValue(certificate.Source, out source)) commons[certificate.Source] = source = commons.Count;
            }
            errors.Add((Math.Sqrt(Math.Max(0, u * u - share * share)), source, share));
            return index[m] = errors.Count - 1;
        }
    }

    internal static bool IsCommon(UncertaintyComponent c) => c.IsShared && c.StandardUncertainty > 0;
}
