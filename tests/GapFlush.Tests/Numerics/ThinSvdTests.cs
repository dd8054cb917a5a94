using GapFlush.Numerics;

namespace GapFlush.Tests.Numerics;

public class ThinSvdTests
{
    [Fact]
    public void The_factors_give_the_matrix_back() => Cases.Each(200, random =>
    {
        int m = 1 + random.Below(40), n = 1 + random.Below(8);
        double[,] a = new double[m, n];
        for (int i = 0; i < m; i++)
            for (int j = 0; j < n; j++) a[i, j] = random.Normal() * Math.Pow(10, random.Between(-3, 3));
        ThinSvd svd = ThinSvd.Of(a);
        double largest = svd.Values[0];
        Assert.Equal(svd.Values.OrderDescending(), svd.Values);
        for (int i = 0; i < m; i++)
            for (int j = 0; j < n; j++)
                Near.Absolute(a[i, j], Enumerable.Range(0, n).Sum(k => svd.Left(k)[i] * svd.Values[k] * svd.Right(k)[j]), 1e-13 * largest);
        for (int p = 0; p < n; p++)
            for (int q = 0; q < n; q++)
                Near.Absolute(p == q ? 1 : 0, Enumerable.Range(0, n).Sum(k => svd.Right(p)[k] * svd.Right(q)[k]), 1e-13);
        Assert.Equal(Math.Min(m, n), svd.Rank(1e-12));
    });

    [Fact]
    public void A_matrix_of_columns_that_depend_on_one_another_has_the_rank_it_has()
    {
        double[,] a = { { 1, 2, 3 }, { 4, 5, 9 }, { 7, 8, 15 }, { 1, 0, 1 } };   // third column = first + second
        ThinSvd svd = ThinSvd.Of(a);
        Assert.Equal(2, svd.Rank(1e-12));
        Assert.True(double.IsInfinity(svd.Condition));
        double[] x = svd.Solve([1, 1, 1, 1], 2);
        // The shortest of all solutions is square to the null space (1, 1, -1).
        Near.Absolute(0, x[0] + x[1] - x[2], 1e-14);
    }

    // Hilbert matrix of order 6: R 4.2.2, kappa(m, exact = TRUE) = 14951058.641.
    [Fact]
    public void The_condition_of_the_hilbert_matrix_is_the_known_one()
    {
        double[,] a = new double[6, 6];
        for (int i = 0; i < 6; i++)
            for (int j = 0; j < 6; j++) a[i, j] = 1.0 / (i + j + 1);
        Near.Digits(14951058.641, ThinSvd.Of(a).Condition, 9);
    }
}
