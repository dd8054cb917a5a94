using GapFlush.Registration;

namespace GapFlush.Tests.Registration;

public class PlaceIndexTests
{
    [Fact]
    public void Numbers_are_those_of_a_dictionary_and_their_order_is_that_of_the_places() => Cases.Each(50, random =>
    {
        PlaceIndex index = new();
        Dictionary<(int, int, int), int> plain = [];
        int most = 1 + (int)random.Between(0, 30);
        for (int i = 0; i < 2000; i++)
        {
            (int, int, int) at = ((int)random.Between(-most, most), (int)random.Between(-most, most), (int)random.Between(-2, 2));
            Assert.Equal(plain.TryGetValue(at, out int known) ? known : -1, index.Find(at.Item1, at.Item2, at.Item3));
            if (!plain.ContainsKey(at)) plain[at] = plain.Count;
            Assert.Equal(plain[at], index.Of(at.Item1, at.Item2, at.Item3));
        }
        Assert.Equal(plain.Count, index.Count);
        Assert.Equal(plain.OrderBy(p => p.Key).Select(p => p.Value), index.InOrder());
    });
}
