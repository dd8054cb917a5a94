using GapFlush.Tests;

namespace GapFlush.Product.Tests;

public class LicenceTests
{
    [Fact]
    public void The_licence_is_the_whole_apache_text()
    {
        string text = File.ReadAllText(Path.Combine(Fixture.Root, "LICENSE"));
        Assert.Contains("Version 2.0, January 2004", text, StringComparison.Ordinal);
        Assert.EndsWith("limitations under the License.\n", text, StringComparison.Ordinal);
        Assert.Equal(202, text.Count(c => c == '\n'));
    }
}
