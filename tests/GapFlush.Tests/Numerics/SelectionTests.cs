using GapFlush.Numerics;

namespace GapFlush.Tests.Numerics;

/// <summary>Order statistics against a sort, on values with and without repeats.</summary>
public class SelectionTests
{
    [Theory]
    [InlineData(1, 1000)]
    [InlineData(2, 1000)]
    [InlineData(3, 2)]
    [InlineData(10, 3)]
    [InlineData(101, 1000)]
    [InlineData(1000, 7)]
    public void Picks_what_a_sort_would_put_there(int count, int different)
    {
        SeededRandom random = new((ulong)count);
        double[] values = [.. Enumerable.Range(0, count).Select(_ => (double)random.Below(different))], sorted = [.. values.Order()];
        for (int n = 0; n < count; n += Math.Max(1, count / 10))
        {
            double[] mixed = [.. values];
            Assert.Equal(sorted[n], Selection.Nth(mixed, n));
            Assert.Equal(sorted, mixed.Order());
        }
        double median = count % 2 == 1 ? sorted[count / 2] : (sorted[count / 2 - 1] + sorted[count / 2]) / 2;
        Assert.Equal(median, Selection.Median(values));
    }

    [Fact]
    public void Ordered_and_turned_round_values_are_no_trouble()
    {
        foreach (int sign in new[] { 1, -1 })
        {
            double[] values = [.. Enumerable.Range(0, 20_001).Select(i => sign * (double)i)];
            Assert.Equal(sign * 10_000, Selection.Median(values));
        }
    }
}
