using GapFlush.Numerics;

namespace GapFlush.Tests.Numerics;

public class SmallSystemTests
{
    [Fact]
    public void Solutions_satisfy_their_equations_straight_and_transposed() => Cases.Each(300, random =>
    {
        int n = random.Below(9);
        double[,] a = new double[n, n];
        double[] b = new double[n];
        for (int i = 0; i < n; i++)
        {
            b[i] = random.Normal();
            for (int j = 0; j < n; j++) a[i, j] = random.Below(3) == 0 ? 0 : random.Normal();   // noughts call for row exchanges
            a[i, (i + 3) % n] += 20;                                                              // far from singular, largest entries off the diagonal
        }
        SmallSystem system = new(n, (i, j) => a[i, j]);
        double[] x = system.Solve(i => b[i]), y = system.SolveTransposed(i => b[i]);
        for (int i = 0; i < n; i++)
        {
            Near.Absolute(b[i], Enumerable.Range(0, n).Sum(j => a[i, j] * x[j]), 1e-13);
            Near.Absolute(b[i], Enumerable.Range(0, n).Sum(j => a[j, i] * y[j]), 1e-13);
        }
    });
}
