using GapFlush.Numerics;
using GapFlush.Statistics;

namespace GapFlush.Tests.Statistics;

/// <summary>What is worked out once for each different value adds up to the same bits as if it had been worked out for every value.</summary>
public class RepeatedValuesTests
{
    [Theory]
    [InlineData(1, 3)]
    [InlineData(2, 15)]
    [InlineData(400, 1)]
    [InlineData(400, 2)]
    [InlineData(400, 15)]
    public void Sums_are_the_same_to_the_last_bit(int count, int decimals)
    {
        SeededRandom random = new(7);
        double[] values = [.. Enumerable.Range(0, count).Select(_ => Math.Round(random.Normal(4.8, 0.1), decimals))];
        RepeatedValues repeated = RepeatedValues.Of(values);
        Assert.Equal(values.Distinct().Order(), repeated.Different);
        Assert.Equal(values, repeated.Each(repeated.Different));
        double sum = 0;
        foreach (double v in values) sum += Math.Log(v);
        Assert.Equal(BitConverter.DoubleToInt64Bits(sum), BitConverter.DoubleToInt64Bits(repeated.Sum(Math.Log)));
        Assert.Equal(BitConverter.DoubleToInt64Bits(sum / count), BitConverter.DoubleToInt64Bits(repeated.Average(Math.Log)));
    }

    [Fact]
    public void A_function_is_asked_once_for_each_different_value()
    {
        int asked = 0;
        Assert.Equal(18, RepeatedValues.Of([4, 2, 4, 4, 2, 2]).Sum(v =>
        {
            asked++;
            return v;
        }));
        Assert.Equal(2, asked);
    }
}
