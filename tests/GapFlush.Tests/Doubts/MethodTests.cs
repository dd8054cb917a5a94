using GapFlush.Demo;
using GapFlush.Doubts;

namespace GapFlush.Tests.Doubts;

/// <summary>The numbers of the worked example in METHOD.md.</summary>
public class MethodTests
{
    [Theory]
    [InlineData(20, DoubtKinds.GaugeCoarse, new[] { "0.67 mm", "1.60 mm", "42 %" })]
    [InlineData(27, DoubtKinds.TemperatureMissing, new[] { "878 mm", "0.18 mm", "26 %" })]
    public void The_worked_example_holds(int sequence, string kind, string[] figures)
    {
        DemoBuild build = Dabchick.Build(sequence);
        Doubt doubt = Assert.Single(DoubtFinder.Find(Dabchick.Plan, build.Serial, null, [Bench.Log(build.Readings)]), d => d.Kind == kind);
        string method = File.ReadAllText(Path.Combine(Fixture.Root, "src", "GapFlush", "Doubts", "METHOD.md")).ReplaceLineEndings(" ");
        string example = method[method.IndexOf("## A worked example", StringComparison.Ordinal)..];
        Assert.All(figures, f =>
        {
            Assert.Contains(f, doubt.Seen, StringComparison.Ordinal);
            Assert.Contains(f, example, StringComparison.Ordinal);
        });
    }

    [Fact]
    public void Every_kind_has_its_section()
    {
        string method = File.ReadAllText(Path.Combine(Fixture.Root, "src", "GapFlush", "Doubts", "METHOD.md"));
        Assert.All(DoubtKinds.All, kind => Assert.Matches($@"\*\*[^*]*{kind}", method));
        Assert.All(FaultKinds.All, kind => Assert.Contains(kind, DoubtKinds.All));
    }
}
