using GapFlush.Inputs;

namespace GapFlush.Tests.Inputs;

public class NearestNameTests
{
    [Theory]
    [InlineData("Gap", "gap")]
    [InlineData("gpa", "gap")]
    [InlineData("fluhs", "flush")]
    [InlineData("landgap", "land_gap")]
    [InlineData("gip", "gap")]
    [InlineData("g", null)]
    [InlineData("temperature", null)]
    [InlineData("", null)]
    public void The_nearest_name_is_found_where_one_is_near(string given, string? expected) =>
        Assert.Equal(expected, NearestName.Among(given, ["gap", "flush", "land_gap"]));

    [Theory]
    [InlineData("fluhs", "Did you mean 'flush'?")]
    [InlineData("width", "Known: gap, flush.")]
    public void A_remedy_names_it_or_lists_all(string given, string expected) => Assert.Equal(expected, NearestName.Remedy(given, ["gap", "flush"]));

    [Fact]
    public void A_long_list_is_shortened() => Assert.Equal("Known: s10, s11, s12, s13, s14, s15, s16, s17, s18, s19, s20, s21 and 8 more.",
        NearestName.Remedy("hinge", [.. Enumerable.Range(10, 20).Select(i => $"s{i}")]));
}
