using GapFlush.Reports.Drawing;

namespace GapFlush.Product.Tests.Drawing;

public class BoxTests
{
    private static readonly Box Box = new(10, 10, 20, 10);

    [Theory]
    [InlineData(0, 0, 40, 30, true)]     // corner to corner
    [InlineData(0, 15, 40, 15, true)]    // level through the middle
    [InlineData(15, 12, 20, 18, true)]   // wholly inside
    [InlineData(0, 10, 40, 10, false)]   // along an edge
    [InlineData(0, 5, 40, 5, false)]
    [InlineData(0, 0, 5, 15, false)]
    [InlineData(0, 15, 9, 15, false)]    // ends before it
    public void A_line_crosses_the_inside_or_not(double x1, double y1, double x2, double y2, bool crosses)
    {
        Assert.Equal(crosses, Box.IsCrossedBy(new(x1, y1), new(x2, y2)));
        Assert.Equal(crosses, Box.IsCrossedBy(new(x2, y2), new(x1, y1)));
    }

    [Fact]
    public void Boxes_that_share_an_edge_do_not_overlap()
    {
        Assert.False(Box.Overlaps(new Box(30, 10, 5, 5)));
        Assert.True(Box.Overlaps(new Box(29.9, 10, 5, 5)));
        Assert.True(Box.Contains(Box));
    }
}
