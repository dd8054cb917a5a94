using System.Runtime.Intrinsics;
using GapFlush.Numerics;

namespace GapFlush.Tests.Numerics;

/// <summary>Sums of products against plain loops, for every number of chosen columns.</summary>
public class CrossProductsTests
{
    [Fact]
    public void Sums_are_those_of_plain_loops() => Cases.Each(60, random =>
    {
        const int Stride = 16, Columns = 15;
        int rows = 4 * (1 + random.Below(4));
        double[] columns = [.. Enumerable.Range(0, Stride * Columns).Select(_ => random.Between(-1, 1))], weight = [.. Enumerable.Range(0, rows).Select(_ => random.Between(-1, 1))];
        int[] chosen = [.. Enumerable.Range(0, Columns).Where(_ => random.Below(3) > 0)];
        int m = chosen.Length;
        Vector256<double>[] sums = new Vector256<double>[m * m];
        CrossProducts.Add(columns, Stride, chosen, weight, sums);
        CrossProducts.Add(columns, Stride, chosen, weight, sums);
        for (int k = 0; k < m; k++)
        {
            for (int l = k; l < m; l++)
                Near.Absolute(2 * Enumerable.Range(0, rows).Sum(i => weight[i] * columns[chosen[k] * Stride + i] * columns[chosen[l] * Stride + i]), Vector256.Sum(sums[k * m + l]), 1e-12);
        }
    });

    [Fact]
    public void Rows_and_columns_that_are_not_there_are_refused()
    {
        Vector256<double>[] sums = new Vector256<double>[4];
        Assert.Throws<ArgumentException>(() => CrossProducts.Add(new double[16], 8, [0, 1], new double[3], sums));
        Assert.Throws<ArgumentException>(() => CrossProducts.Add(new double[16], 8, [0, 1], new double[12], sums));
        Assert.Throws<ArgumentOutOfRangeException>(() => CrossProducts.Add(new double[16], 8, [0, 2], new double[8], sums));
    }
}
