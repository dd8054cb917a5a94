using GapFlush.Decisions;

namespace GapFlush.Tests.Decisions;

public class FiguresTests
{
    [Theory]
    [InlineData(6, "6.00")]
    [InlineData(0.12, "0.12")]
    [InlineData(0.125, "0.125")]
    [InlineData(0.1234567, "0.12")]
    [InlineData(0.03, "0.03")]
    [InlineData(0.0312, "0.031")]
    [InlineData(0.0004, "0.0004")]
    [InlineData(-2.5, "-2.50")]
    [InlineData(0, "0.00")]
    [InlineData(151.2345, "151.23")]
    public void Figures_show_two_decimals_or_as_many_as_it_takes(double value, string text) => Assert.Equal(text, Figures.Text(value));
}
