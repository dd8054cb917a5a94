using GapFlush.Numerics;

namespace GapFlush.Tests.Numerics;

/// <summary>The factor held row by row against the one in a table, and both against the system they solve.</summary>
public class CholeskyTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(6)]
    [InlineData(13)]
    public void Both_forms_solve_the_system(int n)
    {
        SeededRandom random = new(17);
        double[,] a = new double[n, n];
        double[] rows = [.. Enumerable.Range(0, (n + 3) * n).Select(_ => random.Between(-0.5, 0.5))], x = [.. Enumerable.Range(0, n).Select(_ => random.Between(-0.5, 0.5))], b = new double[n], flat = new double[n * n];
        for (int i = 0; i < n; i++)
        {
            for (int j = 0; j < n; j++)
            {
                for (int k = 0; k < n + 3; k++) a[i, j] += rows[k * n + i] * rows[k * n + j];
                flat[i * n + j] = a[i, j];
                b[i] += a[i, j] * x[j];
            }
        }
        double[] solved = Cholesky.Solve(Cholesky.Factor(a)!, b);
        Assert.True(Cholesky.Factor(flat, n));
        Cholesky.Solve(flat, b);
        for (int i = 0; i < n; i++)
        {
            Assert.Equal(x[i], solved[i], 1e-10);
            Assert.Equal(x[i], b[i], 1e-10);
        }
    }

    [Fact]
    public void A_matrix_that_is_not_positive_definite_has_no_factor()
    {
        Assert.False(Cholesky.Factor([1, 2, 2, 1], 2));
        Assert.False(Cholesky.Factor([double.NaN], 1));
        Assert.Null(Cholesky.Factor(new double[,] { { 1, 2 }, { 2, 1 } }));
    }
}
