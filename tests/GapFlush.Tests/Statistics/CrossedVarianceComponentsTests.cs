using GapFlush.GaugeStudy;
using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.Tests.Statistics;

/// <summary>
/// Two crossed random groupings by restricted maximum likelihood. No published unbalanced case of this model is known to us with certainty, so the outside check is the likelihood itself, written out
/// here in full over all values with another way of solving and searched without slopes.
/// </summary>
public class CrossedVarianceComponentsTests
{
    [Fact]
    public void A_balanced_study_gives_the_components_of_the_analysis_of_variance()
    {
        int compared = 0;
        for (ulong seed = 0; seed < 40; seed++)
        {
            List<(string, string, double)> rows = Rows(new SeededRandom(seed), 8, 4, (_, _) => 3, 0.3, 0.1, 0.08, 0.05);
            CrossedStudy s = CrossedStudy.Of(rows, out _)!;
            Assert.True(s.IsBalanced);
            (double repeat, double interaction, double op, double part) = s.RawComponents;
            if (interaction <= 0 || op <= 0 || part <= 0) continue;
            CrossedVarianceComponents fit = CrossedVarianceComponents.Fit(rows)!;
            foreach ((double expected, double found) in new[] { (repeat, fit.Within), (interaction, fit.Interaction), (op, fit.Second), (part, fit.First) }) Assert.InRange(found / expected - 1, -1e-8, 1e-8);
            compared++;
        }
        Assert.True(compared > 25);   // seen: 38 of 40 with all components positive
    }

    [Theory]
    [InlineData(1, 0.3, 0.1, 0.08)]
    [InlineData(2, 0.3, 0.0, 0.08)]
    [InlineData(3, 0.02, 0.1, 0.0)]
    [InlineData(4, 0.0, 0.0, 0.0)]
    [InlineData(5, 0.3, 0.1, 0.3)]
    public void An_unbalanced_study_ends_where_a_search_of_the_whole_likelihood_ends(ulong seed, double first, double second, double interaction)
    {
        SeededRandom random = new(seed);
        // None to three values in a cell, one person with fewer.
        List<(string, string, double)> rows = Rows(random, 5, 3, (p, o) => p == o ? 3 : o == 2 ? (int)(2 * random.Unit()) : (int)(4 * random.Unit()), first, second, interaction, 0.05);
        CrossedVarianceComponents fit = CrossedVarianceComponents.Fit(rows)!;
        double[] found = [fit.First, fit.Second, fit.Interaction, fit.Within];
        // The same value of the same function.
        Assert.Equal(Deviance(rows, found), fit.Deviance, 8);
        (double[] best, double least) = Search(rows);
        Assert.InRange(fit.Deviance - least, -1e-6, 1e-9);
        double total = found.Sum();
        for (int k = 0; k < 4; k++) Assert.InRange(found[k] - best[k], -2e-4 * total, 2e-4 * total);   // a search without slopes settles to about the root of its deviance
    }

    [Fact]
    public void Nothing_changes_when_all_values_move_or_the_rows_are_shuffled_and_variances_scale_with_the_unit()
    {
        SeededRandom random = new(8);
        List<(string A, string B, double V)> rows = Rows(random, 7, 3, (_, _) => 1 + (int)(3 * random.Unit()), 0.3, 0.1, 0.05, 0.05);
        CrossedVarianceComponents a = CrossedVarianceComponents.Fit(rows)!, moved = CrossedVarianceComponents.Fit([.. rows.AsEnumerable().Reverse().Select(r => (r.A, r.B, r.V + 1000))])!, inches = CrossedVarianceComponents.Fit([.. rows.Select(r => (r.A, r.B, r.V / 25.4))])!, turned = CrossedVarianceComponents.Fit([.. rows.Select(r => (r.B, r.A, r.V))])!;
        foreach ((double x, double y) in new[] { (a.First, moved.First), (a.Second, moved.Second), (a.Interaction, moved.Interaction), (a.Within, moved.Within), (a.First, inches.First * 25.4 * 25.4), (a.Within, inches.Within * 25.4 * 25.4), (a.First, turned.Second), (a.Second, turned.First) })
            Assert.InRange(x / y - 1, -1e-7, 1e-7);
        Assert.Equal(a.Mean + 1000, moved.Mean, 8);
    }

    [Fact]
    public void Left_out_the_interaction_is_zero_and_the_fit_no_better()
    {
        SeededRandom random = new(12);
        List<(string, string, double)> rows = Rows(random, 8, 3, (_, _) => 1 + (int)(3 * random.Unit()), 0.3, 0.1, 0.1, 0.05);
        CrossedVarianceComponents with = CrossedVarianceComponents.Fit(rows)!, without = CrossedVarianceComponents.Fit(rows, interaction: false)!;
        Assert.Equal(0, without.Interaction);
        Assert.True(without.Deviance > with.Deviance + 1);
        Assert.Null(CrossedVarianceComponents.Fit([("1", "A", 1), ("1", "B", 2), ("2", "A", 3), ("2", "B", 5)]));
        Assert.Null(CrossedVarianceComponents.Fit([("1", "A", 1), ("1", "A", 2), ("2", "A", 3), ("2", "A", 5)]));
    }

    internal static List<(string, string, double)> Rows(SeededRandom random, int parts, int people, Func<int, int, int> count, double part, double person, double interaction, double error)
    {
        List<(string, string, double)> rows = [];
        double[] ofPart = [.. Enumerable.Range(0, parts).Select(_ => part * random.Normal())], ofPerson = [.. Enumerable.Range(0, people).Select(_ => person * random.Normal())];
        for (int p = 0; p < parts; p++)
        {
            for (int o = 0; o < people; o++)
            {
                double both = ofPart[p] + ofPerson[o] + interaction * random.Normal();
                for (int n = count(p, o); n > 0; n--) rows.Add(($"{p}", $"{o}", both + error * random.Normal()));
            }
        }
        return rows;
    }

    // Minus twice the restricted log likelihood, every value for itself: V by its definition, determinant and inverse by elimination.
    private static double Deviance(List<(string A, string B, double V)> rows, double[] v)
    {
        int n = rows.Count;
        double[,] m = new double[n, n + 2];
        double mean = rows.Average(r => r.V);
        for (int i = 0; i < n; i++)
        {
            for (int j = 0; j < n; j++)
            {
                bool a = rows[i].A == rows[j].A, b = rows[i].B == rows[j].B;
                m[i, j] = (a ? v[0] : 0) + (b ? v[1] : 0) + (a && b ? v[2] : 0) + (i == j ? v[3] : 0);
            }
            (m[i, n], m[i, n + 1]) = (1, rows[i].V - mean);
        }
        double log = 0;
        for (int i = 0; i < n; i++)
        {
            log += Math.Log(m[i, i]);
            for (int r = 0; r < n; r++)
            {
                if (r == i) continue;
                double f = m[r, i] / m[i, i];
                for (int c = i; c < n + 2; c++) m[r, c] -= f * m[i, c];
            }
        }
        double one = 0, cross = 0, square = 0;
        for (int i = 0; i < n; i++)
        {
            one += m[i, n] / m[i, i];
            cross += m[i, n + 1] / m[i, i];
            square += (rows[i].V - mean) * m[i, n + 1] / m[i, i];
        }
        return log + Math.Log(one) + square - cross * cross / one + (n - 1) * Math.Log(2 * Math.PI);
    }

    // Steps of the standard deviations along each axis, and along the last gain, halved where nothing is gained.
    private static (double[] Best, double Least) Search(List<(string, string, double)> rows)
    {
        double[] at = [0.1, 0.1, 0.1, 0.1];
        double Of(double[] sd) => Deviance(rows, [.. sd.Select(s => s * s)]);
        double least = Of(at);
        for (double step = 0.05; step > 1e-7;)
        {
            double[] before = at;
            for (int k = 0; k < 4; k++)
            {
                foreach (double d in new[] { step, -step })
                {
                    double[] next = [.. at];
                    next[k] = Math.Max(k == 3 ? 1e-3 : 0, next[k] + d);
                    double value = Of(next);
                    if (value < least) (at, least) = (next, value);
                }
            }
            double[] on = [.. at.Select((x, k) => Math.Max(k == 3 ? 1e-3 : 0, 2 * x - before[k]))];
            double further = Of(on);
            if (further < least) (at, least) = (on, further);
            else if (at == before) step /= 2;
        }
        return ([.. at.Select(s => s * s)], least);
    }
}
