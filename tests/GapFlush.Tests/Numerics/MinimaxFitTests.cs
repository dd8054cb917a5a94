using GapFlush.Numerics;

namespace GapFlush.Tests.Numerics;

public class MinimaxFitTests
{
    [Fact]
    public void The_answer_is_proven_by_its_own_reference() => Cases.Each(500, random =>
    {
        int m = 2 + random.Below(60), n = 1 + random.Below(Math.Min(m - 1, 6));
        bool coarse = random.Below(2) == 1;   // small whole numbers: many ties
        double[,] a = new double[m, n];
        double[] b = new double[m];
        for (int i = 0; i < m; i++)
        {
            for (int j = 0; j < n; j++) a[i, j] = coarse ? random.Below(3) - 1 : random.Normal();
            b[i] = coarse ? random.Below(5) - 2 : random.Normal();
        }
        MinimaxFit fit = MinimaxFit.Solve(a, b)!;
        Assert.NotNull(fit);
        double[] residuals = [.. Enumerable.Range(0, m).Select(i => b[i] - Enumerable.Range(0, n).Sum(j => a[i, j] * fit.Solution[j]))];
        Assert.All(residuals, r => Assert.InRange(Math.Abs(r), 0, fit.LargestResidual + 1e-11));
        Near.Absolute(fit.LargestResidual, residuals.Max(Math.Abs), 1e-11);
        Assert.All(fit.Active, x => Near.Absolute(x.Sign * fit.LargestResidual, residuals[x.Row], 1e-11));
        // Optimal: no step lowers every active residual. Tried by many small steps in random directions.
        for (int k = 0; k < 40; k++)
        {
            double[] step = [.. Enumerable.Range(0, n).Select(_ => random.Normal() * 1e-4)];
            Assert.True(Enumerable.Range(0, m).Max(i => Math.Abs(residuals[i] - Enumerable.Range(0, n).Sum(j => a[i, j] * step[j]))) >= fit.LargestResidual - 1e-11);
        }
    });

    [Fact]
    public void A_level_through_two_heights_lies_midway() => Near.Absolute(2.5, MinimaxFit.Solve(new double[,] { { 1 }, { 1 }, { 1 } }, [1, 4, 2])!.Solution[0], 1e-15);

    // The best straight line to x² on 0, 0.5, 1 is x - 1/8, off by 1/8 everywhere (Chebyshev; elementary).
    [Fact]
    public void A_line_through_a_parabola_is_the_known_one()
    {
        MinimaxFit fit = MinimaxFit.Solve(new[,] { { 1, 0 }, { 1, 0.5 }, { 1, 1.0 } }, [0, 0.25, 1])!;
        Near.Absolute(-0.125, fit.Solution[0], 1e-15);
        Near.Absolute(1, fit.Solution[1], 1e-15);
        Near.Absolute(0.125, fit.LargestResidual, 1e-15);
    }

    [Fact]
    public void A_system_with_an_exact_answer_leaves_nothing()
    {
        MinimaxFit fit = MinimaxFit.Solve(new double[,] { { 1, 1 }, { 1, -1 }, { 2, 0 } }, [3, 1, 4])!;
        Near.Absolute(0, fit.LargestResidual, 1e-14);
        Near.Absolute(2, fit.Solution[0], 1e-14);
    }

    [Fact]
    public void Shapes_that_do_not_match_are_refused() => Assert.Throws<ArgumentException>(() => MinimaxFit.Solve(new double[2, 1], [1, 2, 3]));
}
