using System.Text;
using GapFlush.Decisions;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Scans;
using GapFlush.Sections;
using GapFlush.Tests.Plan;
using GapFlush.Workflows;

namespace GapFlush.Tests.Inputs;

/// <summary>Whatever stands in a text file, its reader gives a value or says what is wrong; what it accepts can be worked with. GAPFLUSH_FUZZ sets how many changed files each reader is given.</summary>
public class ReaderFuzzTests
{
    // A changed file is at most some tens of kB; a reader that needs a thousand times that believes a number in the file.
    private const long MostBytes = 64 << 20;

    private static readonly int Each = int.TryParse(Environment.GetEnvironmentVariable("GAPFLUSH_FUZZ"), out int asked) ? asked : 400;
    private static readonly Dictionary<string, byte[]> PlanFiles = new SmallPlan().Texts.ToDictionary(t => t.Key, t => Encoding.UTF8.GetBytes(t.Value));
    private static readonly FitPlan Plan = PlanReader.Read(Folder(PlanFiles)).Value;
    private static readonly ReadingLog Log = ReadingsReader.Read(InputFile.FromText("readings.csv", Readings()), Plan).Value;

    public static TheoryData<string> FilesOfAPlan => [.. PlanFiles.Keys.Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(FilesOfAPlan))]
    public void A_plan_with_one_file_changed_is_read_or_refused(string name) => Try(name, PlanFiles[name], bytes =>
    {
        Outcome<FitPlan> read = PlanReader.Read(Folder(PlanFiles.ToDictionary(f => f.Key, f => f.Key == name ? bytes : f.Value)));
        Told(read);
        if (!read.IsUsable) return false;
        Told(InspectBuild.Run(read.Value, "001", null, [Log with { Readings = [.. Log.Readings.Where(r => read.Value.FindDoor(r.Door)?.Find(r.Station ?? "") is not null)] }]));
        Told(DrainPlan.Run(read.Value));
        return true;
    });

    [Fact]
    public void Readings_are_read_or_refused() => Try("readings.csv", Encoding.UTF8.GetBytes(Readings()), bytes =>
    {
        Outcome<ReadingLog> read = ReadingsReader.Read(InputFile.FromBytes("readings.csv", bytes), Plan);
        Told(read);
        if (!read.IsUsable) return false;
        foreach (string build in read.Value.Builds.Take(2)) Told(InspectBuild.Run(Plan, build, null, [read.Value]));
        return true;
    });

    [Fact]
    public void Levels_are_read_or_refused() => Try("levels.csv", Encoding.UTF8.GetBytes(Levels()), bytes =>
    {
        Outcome<LevelLog> read = LevelsReader.Read(InputFile.FromBytes("levels.csv", bytes), Plan);
        Told(read);
        if (!read.IsUsable) return false;
        foreach (string build in read.Value.Builds.Take(2)) Told(DrainPlan.Run(Plan, read.Value, build));
        return true;
    });

    [Fact]
    public void Water_tests_are_read_or_refused() => Try("water.csv",
        "build,door,result,station,attitude,minutes,flow_l_per_min,note\n001,P1,wet,3,level,10,12.5,at the sill\n001,S1,dry,,tail-down,15,10,\n002,P1,dry,,,,,\n"u8.ToArray(), bytes =>
    {
        Outcome<WaterTestLog> read = WaterTestsReader.Read(InputFile.FromBytes("water.csv", bytes), Plan);
        Told(read);
        if (read.IsUsable) Told(DrainPlan.Run(Plan, waterTests: read.Value));
        return read.IsUsable;
    });

    [Fact]
    public void Scan_targets_are_read_or_refused() => Try("targets.csv", Encoding.UTF8.GetBytes("datum,x,y,z\n" + string.Concat(Plan.Datums.Select(d => Invariant($"{d.Name},{d.Position.X + 3},{d.Position.Y},{d.Position.Z}\n")))), bytes =>
    {
        Outcome<ScanTargets> read = TargetsReader.Read(InputFile.FromBytes("targets.csv", bytes), Plan);
        Told(read);
        return read.IsUsable;
    });

    [Fact]
    public void Probed_points_are_read_or_refused() => Try("touches.csv", Encoding.UTF8.GetBytes(Touches()), bytes =>
    {
        Outcome<ProbedLog> read = ProbedReader.Read(InputFile.FromBytes("touches.csv", bytes), Plan);
        Told(read);
        if (!read.IsUsable) return false;
        foreach (ProbedPoint one in read.Value.Points.DistinctBy(p => (p.Build, p.Door)).Take(1))
            Told(ProbedSectioning.Run(Plan, Plan.FindDoor(one.Door)!, one.Build, read.Value, new() { Aligned = true }));
        return true;
    });

    [Fact]
    public void Results_are_read_or_refused()
    {
        BuildInspection inspection = InspectBuild.Run(Plan, "001", null, [Log]).Value;
        Try("results.csv", Encoding.UTF8.GetBytes(ResultsFile.ToCsv(inspection.Rows)), bytes =>
        {
            Outcome<IReadOnlyList<ResultRow>> read = ResultsReader.Read(InputFile.FromBytes("results.csv", bytes), Plan);
            Told(read);
            return read.IsUsable;
        });
    }

    private static void Try(string name, byte[] whole, Func<byte[], bool> use)
    {
        Assert.True(use(whole), $"{name} is not good before any change");
        int good = 0, bad = 0;
        for (int k = 0; k < Each; k++)
        {
            byte[] changed = ChangedText.Of(whole, new((ulong)k + 1));
            try
            {
                long before = GC.GetAllocatedBytesForCurrentThread();
                if (use(changed)) good++;
                else bad++;
                long took = GC.GetAllocatedBytesForCurrentThread() - before;
                Assert.True(took < MostBytes, $"took {took} bytes of memory");
            }
            catch (Exception e)
            {
                throw new InvalidOperationException($"{name}, change {k}: {e.GetType().Name}: {e.Message}\n{Encoding.UTF8.GetString(changed.AsSpan(0, Math.Min(changed.Length, 2000)))}", e);
            }
        }
        Assert.True(good > 0 && bad > 0, $"{good} files were read and {bad} refused: the changes try too little");
    }

    private static void Told<T>(Outcome<T> outcome) where T : class
    {
        if (outcome.IsUsable) return;
        Assert.NotEmpty(outcome.Problems);
        Assert.All(outcome.Problems, p =>
        {
            Assert.NotEqual("", p.Source);
            Assert.NotEqual("", p.Expected);
            Assert.NotEqual("", p.Remedy);
        });
    }

    private static InputFile[] Folder(Dictionary<string, byte[]> files) => [.. files.Select(f => InputFile.FromBytes(f.Key, f.Value))];

    private static string Readings()
    {
        StringBuilder text = new("build,door,station,characteristic,value,unit,gauge,inspector,taken_at,repeat,temperature_c,stage,definition,uncertainty,note\n");
        foreach (Door door in Plan.Doors)
        {
            foreach (Station station in door.Stations)
            {
                text.Append(Invariant($"001,{door.Code},{station.Name},gap,{3.5 + 0.1 * (station.Index % 3):0.00},mm,TG-01,A. Tester,2026-03-11T13:{station.Index:00}:00Z,1,21.5,painted,,,\n"));
                text.Append(Invariant($"001,{door.Code},{station.Name},flush,{0.2 - 0.1 * (station.Index % 4):0.00},,SG-02,A. Tester,2026-03-11T14:{station.Index:00}:00Z,1,21.5,painted,,0.1,\"a, b\"\n"));
                text.Append(Invariant($"001,{door.Code},{station.Name},land_gap,{9.5 + 0.1 * (station.Index % 4):0.00},,,,,,,painted,,0.1,\n"));
            }
        }
        return text.ToString();
    }

    // Two stations, both sides: two touches of the skin and one of the edge, with a ball of a millimetre.
    private static string Touches()
    {
        StringBuilder text = new("build,door,station,side,feature,x,y,z,ball_radius,stage\n");
        foreach (Station s in Plan.Doors[0].Stations.Take(2))
        {
            foreach ((string side, double sense) in new[] { ("surround", -1.0), ("door", 1.0) })
            {
                foreach ((string feature, double u, double v) in new[] { ("skin", 6.0, 1.0), ("skin", 14, 1), ("edge", 1, -3) })
                {
                    GapFlush.Geometry.Point3 p = s.Position + sense * u * s.IntoDoor + v * s.Normal;
                    text.Append(Invariant($"001,{Plan.Doors[0].Code},{s.Name},{side},{feature},{p.X:0.000},{p.Y:0.000},{p.Z:0.000},1,\n"));
                }
            }
        }
        return text.ToString();
    }

    private static string Levels() => "build,channel,point,x,y,z,unit,uncertainty\n" + string.Concat(Plan.Channels.SelectMany(c => c.Points.Select(p =>
        Invariant($"001,{c.Name},{p.Name},{p.Position.X},{p.Position.Y},{p.Position.Z + 0.3},mm,0.1\n"))));
}
