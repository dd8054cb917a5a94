using System.Text;
using GapFlush.Demo;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Tests.Demo;

public class DabchickFilesTests
{
    private static readonly Lazy<IReadOnlyList<DemoFile>> Files = new(() => Dabchick.Write());

    private static FitPlan ReadPlan()
    {
        Outcome<FitPlan> outcome = PlanReader.Read([.. Dabchick.PlanFiles().Select(f => InputFile.FromText(f.Path, f.Text))]);
        Assert.True(outcome.IsUsable, string.Join("\n", outcome.Problems));
        Assert.Empty(outcome.Notices);
        return outcome.Value;
    }

    [Fact]
    public void The_plan_files_are_read_without_a_problem_into_the_plan_itself()
    {
        (FitPlan read, FitPlan plan) = (ReadPlan(), Dabchick.Plan);
        Assert.Equal(
            (plan.Name, plan.Issue, plan.AircraftType, plan.Axes, plan.Airflow, plan.ReferenceTemperatureC, plan.DecisionRule, plan.RainMmPerH),
            (read.Name, read.Issue, read.AircraftType, read.Axes, read.Airflow, read.ReferenceTemperatureC, read.DecisionRule, read.RainMmPerH));
        Assert.Equal(plan.Doors.Select(d => (d.Code, d.Title, d.Hand, d.GapDefinition, d.FlushDefinition, d.ExpansionPerK, d.SurroundExpansionPerK)),
            read.Doors.Select(d => (d.Code, d.Title, d.Hand, d.GapDefinition, d.FlushDefinition, d.ExpansionPerK, d.SurroundExpansionPerK)));
        foreach ((Door a, Door b) in plan.Doors.Zip(read.Doors))
        {
            Assert.Equal(a.Stations.Select(s => (s.Name, s.Zone, s.Position, s.Index)), b.Stations.Select(s => (s.Name, s.Zone, s.Position, s.Index)));
            // The reader may make the vectors unit again; they were written to 8 decimals.
            Assert.All(a.Stations.Zip(b.Stations), p =>
            {
                Near.Absolute(0, (p.First.Normal - p.Second.Normal).Length, 1e-7);
                Near.Absolute(0, (p.First.Tangent - p.Second.Tangent).Length, 1e-7);
                Near.Absolute(0, (p.First.IntoDoor - p.Second.IntoDoor).Length, 1e-7);
                Near.Absolute(p.First.AlongMm, p.Second.AlongMm, 1e-6);
            });
            Near.Absolute(a.PerimeterMm, b.PerimeterMm, 1e-6);
        }
        Assert.Equal(plan.Limits.Rows, read.Limits.Rows);
        Assert.Equal(plan.Stages, read.Stages);
        Assert.Equal(plan.Paint, read.Paint);
        Assert.Equal(plan.Attitudes, read.Attitudes);
        Assert.Equal(plan.Seals, read.Seals);
        Assert.Equal(plan.SealCurves, read.SealCurves);
        Assert.Equal(plan.Channels.SelectMany(c => c.Points.Select(p => (c.Name, c.Door, p with { Line = 0 }))), read.Channels.SelectMany(c => c.Points.Select(p => (c.Name, c.Door, p with { Line = 0 }))));
        Assert.Equal(plan.Adjusters.Select(a => a with { Direction = default }), read.Adjusters.Select(a => a with { Direction = default }));
        Assert.All(plan.Adjusters.Zip(read.Adjusters), p => Near.Absolute(0, (p.First.Direction - p.Second.Direction).Length, 1e-7));
        Assert.Equal(plan.Datums, read.Datums);
        Assert.Equal(plan.Skin.Select(s => (s.Position, s.Door)), read.Skin.Select(s => (s.Position, s.Door)));
        Assert.Equal(plan.Gauges, read.Gauges);
        Assert.Equal(plan.Builds, read.Builds);
    }

    [Fact]
    public void Every_readings_file_is_read_whatever_its_spelling_and_holds_what_was_written()
    {
        FitPlan plan = ReadPlan();
        for (int i = 1; i <= Dabchick.BuildCount; i++)
        {
            DemoBuild build = Dabchick.Build(i);
            DemoFile file = Files.Value.Single(f => f.Path == $"readings/{build.FileName}");
            Outcome<ReadingLog> outcome = ReadingsReader.Read(InputFile.FromBytes(file.Path, file.Bytes), plan);
            Assert.True(outcome.IsUsable, string.Join("\n", outcome.Problems));
            IReadOnlyList<Reading> read = outcome.Value.Readings;
            Assert.Equal(build.Readings.Select(What), read.Select(What));
            // Inches are written to 0.0001 in: 0.00005 in is 0.0013 mm.
            Assert.All(build.Readings.Zip(read), p => Near.Absolute(p.First.Value, p.Second.Value, 0.0013));
        }

        static object What(Reading r) => (r.Build, r.Door, r.Station, r.Characteristic, r.Gauge, r.Inspector, r.TakenAt, r.Repeat, r.TemperatureC, r.Stage, r.Definition, r.Note, r.PlanIssue, r.Line);
    }

    [Fact]
    public void The_gauge_study_is_crossed_and_balanced()
    {
        DemoFile file = Files.Value.Single(f => f.Path == "studies/gauge-study.csv");
        IReadOnlyList<Reading> read = ReadingsReader.Read(InputFile.FromBytes(file.Path, file.Bytes), ReadPlan()).Value.Readings;
        foreach (Characteristic characteristic in (Characteristic[])[Characteristic.Gap, Characteristic.Flush])
        {
            IGrouping<(string, string?), Reading>[] cells = [.. read.Where(r => r.Characteristic == characteristic).GroupBy(r => (r.Station, r.Inspector))];
            Assert.Equal(30, cells.Length);
            Assert.All(cells, c => Assert.Equal([1, 2, 3], c.Select(r => r.Repeat!.Value).Order()));
        }
    }

    [Fact]
    public void A_file_with_commas_for_everything_is_refused()
    {
        DemoFile broken = Dabchick.BrokenSheet();
        Assert.False(ReadingsReader.Read(InputFile.FromBytes(broken.Path, broken.Bytes), ReadPlan()).IsUsable);
        Assert.Equal(broken.Bytes, File.ReadAllBytes(Fixture.At("dabchick-broken", broken.Path)));
    }

    [Fact]
    public void Fixtures_dabchick_is_what_the_generator_writes()
    {
        const string remedy = "Remake it with: rm -r fixtures/dabchick; dotnet run --project src/GapFlush.Cli -- demo fixtures/dabchick";
        string root = Fixture.At("dabchick");
        string[] onDisk = [.. Directory.EnumerateFiles(root, "*", SearchOption.AllDirectories).Select(f => Path.GetRelativePath(root, f).Replace('\\', '/')).Order(StringComparer.Ordinal)];
        Assert.True(Files.Value.Select(f => f.Path).Order(StringComparer.Ordinal).SequenceEqual(onDisk), $"fixtures/dabchick holds other files than the generator writes. {remedy}");
        foreach (DemoFile file in Files.Value)
            Assert.True(file.Bytes.AsSpan().SequenceEqual(File.ReadAllBytes(Path.Combine(root, file.Path))), $"fixtures/dabchick/{file.Path} differs from what the generator writes. {remedy}");
        Assert.InRange(Files.Value.Sum(f => f.Bytes.Length), 500_000, 3_000_000);
    }

    [Fact]
    public void Another_seed_writes_the_same_plan_and_other_readings()
    {
        Dictionary<string, byte[]> other = Dabchick.Write(99).ToDictionary(f => f.Path, f => f.Bytes);
        Assert.Equal(Files.Value.Select(f => f.Path), other.Keys);
        Assert.All(Dabchick.PlanFiles(), f => Assert.Equal(Encoding.UTF8.GetBytes(f.Text), other[f.Path]));
        Assert.All(Files.Value.Where(f => f.Path.StartsWith("readings/", StringComparison.Ordinal)), f => Assert.NotEqual(f.Bytes, other[f.Path]));
    }

    [Fact]
    public void The_page_of_the_fixtures_names_every_planted_fault()
    {
        string page = File.ReadAllText(Fixture.At("README.md"));
        for (int i = 1; i <= Dabchick.BuildCount; i++)
        {
            DemoBuild build = Dabchick.Build(i);
            foreach (PlantedFault f in build.Faults)
                Assert.Contains($"| {build.Serial} | {f.Door ?? "all"} | {(f.Stations.Count > 0 ? string.Join(" ", f.Stations) : "all")} | `{f.Kind}` | {f.What} |", page, StringComparison.Ordinal);
        }
    }
}
