using System.Text.Json;
using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Seals;
using GapFlush.Workflows;

namespace GapFlush.Tests.Workflows;

public class DrainPlanTests
{
    // A sill of five points over 400 mm falling 1 % to an open end, least slope 0.5 %.
    private static readonly FitPlan Plan = Shop.Plan with
    {
        Channels = [Sill("P1-sill", (i => 402 - i))],
        Attitudes = [new("level", 0, 0), new("nose-up", 1, 0), new("nose-down", -1, 0)],
        RainMmPerH = 75,
    };

    [Fact]
    public void A_nominal_channel_is_judged_in_every_attitude()
    {
        DrainResult result = DrainPlan.Run(Plan).Value;
        IReadOnlyList<ChannelInAttitude> at = Assert.Single(result.Channels).Attitudes;
        Assert.Equal([Verdict.Within, Verdict.Within, Verdict.Outside], at.Select(a => a.Verdict));
        Near.Absolute(4, at[0].Water.FallMm!.Value, 1e-12);
        Near.Absolute(1, at[0].Water.LeastSlopePercent!.Value, 1e-12);
        // Nose down 1 degree lifts the aft end by tan 1 degree = 1.746 % less the 1 % of the floor, and the water stands to the lip of 8 mm at most.
        Near.Absolute(-0.7454, at[2].Water.LeastSlopePercent!.Value, 1e-3);
        Assert.Equal("run 1 to 2: rises 0.75 % towards the outlet, 1.25 below the lower limit 0.50", at[2].Reasons[0]);
        Assert.False(result.AllWithin);
    }

    [Fact]
    public void Heights_too_coarse_for_the_limit_leave_the_slope_undecided()
    {
        // 0.1 mm heights (k = 1) over 100 mm: U = 0.28 %. A slope of 0.6 % is above 0.5 and not proven; 1.0 % is.
        FitPlan plan = Plan with { Attitudes = [new("level", 0, 0)], RainMmPerH = null };
        ChannelInAttitude at = Measured(plan, i => 402 - 0.6 * i, uncertainty: 0.2).Attitudes[0];
        Assert.All(at.Runs, r => Assert.Equal(Verdict.Undecided, r.Verdict));
        Near.Absolute(0.2828, at.Runs[0].ExpandedUncertaintyPercent!.Value, 1e-4);
        Assert.Equal(Verdict.Within, Measured(plan, i => 402 - i, uncertainty: 0.2).Attitudes[0].Verdict);
        Assert.Equal(Verdict.Outside, Measured(plan, i => 402 - 0.1 * i, uncertainty: 0.2).Attitudes[0].Verdict);
    }

    [Fact]
    public void A_point_that_was_not_measured_is_left_out_and_named()
    {
        string text = "build,channel,point,z,uncertainty\n" + string.Concat(new[] { 1, 2, 4, 5 }.Select(i => $"T1-001,P1-sill,{i},{402 - i},0.02\n"));
        ChannelInAttitude at = DrainPlan.Run(Plan, Levels(text)).Value.Channels[0].Attitudes[0];
        Assert.Equal(["1", "2", "4"], at.Runs.Select(r => r.Run.From));
        Assert.Equal(Verdict.Missing, at.Verdict);
        Assert.Contains("not measured: point 3", at.Reasons);
    }

    [Fact]
    public void A_channel_whose_outlet_was_not_measured_is_not_judged()
    {
        string text = "build,channel,point,z,uncertainty\n" + string.Concat(new[] { 1, 2, 3 }.Select(i => $"T1-001,P1-sill,{i},{402 - i},0.02\n"));
        ChannelInAttitude at = DrainPlan.Run(Plan, Levels(text)).Value.Channels[0].Attitudes[0];
        Assert.Equal(Verdict.Missing, at.Verdict);
        Assert.Null(at.Water.FallMm);
    }

    [Fact]
    public void A_channel_without_levels_is_missing_with_its_reason()
    {
        FitPlan plan = Plan with { Channels = [.. Plan.Channels, Sill("S1-sill", i => 402 - i, y: 440)] };
        ChannelResult result = DrainPlan.Run(plan, Levels(Text(i => 402 - i, 0.02))).Value.Channels[1];
        Assert.Equal(Verdict.Missing, result.Verdict);
        Assert.Equal("fewer than two points of the channel are in levels.csv", result.Reason);
    }

    [Fact]
    public void Another_datum_changes_nothing()
    {
        ChannelInAttitude one = Measured(Plan, i => 402 - i, 0.02).Attitudes[1], other = Measured(Plan, i => 1402 - i, 0.02).Attitudes[1];
        Near.Absolute(one.Water.LeastSlopePercent!.Value, other.Water.LeastSlopePercent!.Value, 1e-9);
        Assert.Equal(one.Verdict, other.Verdict);
    }

    [Fact]
    public void Turned_axes_change_nothing_but_the_coordinates()
    {
        // x forward, y port, z up: the same channel with x and y negated.
        FitPlan turned = Plan with { Axes = "x forward, y port, z up", Channels = [.. Plan.Channels.Select(c => c with { Points = [.. c.Points.Select(p => p with { Position = new(-p.Position.X, -p.Position.Y, p.Position.Z) })] })] };
        Assert.Equal(DrainPlan.Run(Plan).Value.Channels[0].Attitudes.Select(a => a.Water.LeastSlopePercent), DrainPlan.Run(turned).Value.Channels[0].Attitudes.Select(a => a.Water.LeastSlopePercent));
    }

    [Fact]
    public void The_worst_between_the_attitudes_is_found_and_judged()
    {
        // A V whose two arms drain to their own ends: dry level, nose up and nose down, but not in between.
        double[] heights = [0, -3, -3.5, -3, -8];
        FitPlan plan = Plan with
        {
            Channels = [Sill("P1-sill", i => 402 + heights[i - 1])],
            Attitudes = [new("nose-up", 3, 0), new("nose-down", -3, 0)],
            Limits = new([new(null, null, null, Characteristic.PondDepth, null, 0, new(null, 0.2), 2)]),
        };
        ChannelResult result = DrainPlan.Run(plan).Value.Channels[0];
        Assert.True(result.WorstDepth!.Value >= 0.5);
        Assert.Equal(Verdict.Outside, result.BoxVerdict);
        Assert.Contains("between the attitudes", result.BoxReason);
    }

    [Fact]
    public void Rain_beyond_what_the_channel_holds_is_told()
    {
        FitPlan plan = Plan with { Attitudes = [new("level", 0, 0)], RainMmPerH = 2000, Channels = [Sill("P1-sill", i => 402 - i, catchment: 0.05)] };
        ChannelInAttitude at = DrainPlan.Run(plan).Value.Channels[0].Attitudes[0];
        Assert.Equal(Verdict.Outside, at.FlowVerdict);
        Assert.Contains("water goes over the lip at point", at.FlowReason);
    }

    [Fact]
    public void Water_beside_a_seal_that_presses_too_little_is_an_ingress_risk()
    {
        FitPlan plan = Plan with { Channels = [SagBesideSill(Plan)], Attitudes = [new("level", 0, 0)] };
        Door door = plan.FindDoor("P1")!;
        Station[] sill = [.. door.Stations.Where(s => s.Zone == "sill")];
        Dictionary<string, IReadOnlyList<SealStation>> seals = new() { ["P1"] = [.. door.Stations.Select(s => new SealStation(s.Name, s.AlongMm, s.Name == sill[2].Name ? 11 : 30, 15))] };
        ChannelInAttitude at = DrainPlan.Run(plan, seals: seals).Value.Channels[0].Attitudes[0];
        IngressRisk risk = Assert.Single(at.Ingress);
        Assert.Equal(("P1", sill[2].Name, 11.0, 15.0), (risk.Door, risk.Station, risk.CompressionPercent, risk.LeastPercent));
        Assert.Matches($"^level, 75 mm/h: pond of 3\\.3 mL \\(3\\.5 mm deep at point [0-9]+ of P1-sill\\) at P1-{sill[2].Name} lies against a seal compressed 11 %, least 15 %: ingress risk$", Assert.Single(IngressWords.Of(at, new RainIntensity(75))));
        // A gauge too coarse for the difference leaves it open: 16 % against 15 %, U = 2 %.
        Dictionary<string, IReadOnlyList<SealStation>> coarse = new() { ["P1"] = [.. door.Stations.Select(s => new SealStation(s.Name, s.AlongMm, s.Name == sill[2].Name ? 16 : 30, 15, OwnUncertaintyPercent: 1))] };
        ChannelInAttitude open = DrainPlan.Run(plan, seals: coarse).Value.Channels[0].Attitudes[0];
        Assert.False(Assert.Single(open.Ingress).IsBelow);
        Assert.EndsWith("compressed 16 % (U 2 %), least 15 %: enough, but not proven", Assert.Single(IngressWords.Of(open, null)));
        // Where the seal was not read it says so, and calls nothing a risk.
        Dictionary<string, IReadOnlyList<SealStation>> unread = new() { ["P1"] = [] };
        Assert.All(DrainPlan.Run(plan, seals: unread).Value.Channels[0].Attitudes[0].Ingress, i => Assert.False(i.IsKnown));
        Assert.NotEmpty(DrainPlan.Run(plan, seals: unread).Value.Channels[0].Attitudes[0].Ingress);
    }

    [Fact]
    public void A_pond_between_two_stations_is_not_missed()
    {
        // Stations 11 % and 45 % pressed, least 15: the seal lies below its least on the first eighth of the way only, and the pond just there, touching neither station.
        Door door = Plan.FindDoor("P1")!;
        Station[] sill = [.. door.Stations.Where(s => s.Zone == "sill").Take(3)];
        (Point3 from, Vector3 way) = (sill[1].Position, sill[2].Position - sill[1].Position);
        double[] shares = [-0.5, 0.02, 0.06, 0.10, 1.5];
        double[] heights = [-10, 0, -3, 0, -10];
        Channel channel = new("P1-sill", "P1", [.. shares.Select((s, i) => new ChannelPoint($"{i + 1}", new(from.X + s * way.X, from.Y + s * way.Y, from.Z + s * way.Z - 20 + heights[i]), ChannelShape.Rectangular, 12, 8, null, 0.01,
            i is 0 or 4 ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, 0.001, 0, i + 2))]);
        FitPlan plan = Plan with { Channels = [channel], Attitudes = [new("level", 0, 0)] };
        Dictionary<string, IReadOnlyList<SealStation>> seals = new() { ["P1"] = [.. door.Stations.Select(s => new SealStation(s.Name, s.AlongMm, s.Name == sill[1].Name ? 11 : 45, 15))] };
        ChannelInAttitude at = DrainPlan.Run(plan, seals: seals).Value.Channels[0].Attitudes[0];
        Assert.True(Assert.Single(at.Water.Ponds).LengthMm < 0.09 * way.Length);
        IngressRisk risk = Assert.Single(at.Ingress);
        Assert.Equal(sill[1].Name, risk.Station);
        Assert.InRange(risk.CompressionPercent!.Value, 11, 15);
    }

    [Fact]
    public void A_water_test_stands_beside_the_prediction_and_changes_nothing_of_it()
    {
        FitPlan plan = Plan with { Channels = [SagBesideSill(Plan)], Attitudes = [new("level", 0, 0)] };
        Door door = plan.FindDoor("P1")!;
        string low = door.Stations.Where(s => s.Zone == "sill").ElementAt(2).Name, other = door.Stations.First(s => s.Zone == "header").Name;
        Dictionary<string, IReadOnlyList<SealStation>> seals = new() { ["P1"] = [.. door.Stations.Select(s => new SealStation(s.Name, s.AlongMm, s.Name == low ? 11 : 30, 15))] };
        WaterTestLog log = WaterTestsReader.Read(InputFile.FromText("tests.csv", $"build,door,station,attitude,result,minutes,flow_l_per_min\nT1-001,P1,{low},level,wet,10,4\nT1-001,P1,{other},,wet,10,\nT1-001,S1,,,dry,,\n"), plan).Value;
        DrainResult result = DrainPlan.Run(plan, seals: seals, waterTests: log).Value;
        Assert.Equal([true, false, null], result.WaterTests.Select(t => t.Agrees));
        Assert.Equal($"door P1, station {low}, level: wet after 10 min at 4 L/min; a risk was predicted: agreement.", result.WaterTests[0].Sentence);
        Assert.Contains("look for a blocked drain", result.WaterTests[1].Sentence);
        Assert.Contains("nothing is predicted here", result.WaterTests[2].Sentence);
        Assert.Equal(DrainPlan.Run(plan, seals: seals).Value.Channels[0].Verdict, result.Channels[0].Verdict);
    }

    [Theory]
    [InlineData("T1-001,P1,1,damp", "column result: expected wet or dry, found 'damp'. Write wet where any water was found inside, else dry.")]
    [InlineData("T1-001,P9,1,wet", "column door: expected a door of the plan, found 'P9'. Known: P1, S1, B1.")]
    [InlineData("T1-001,P1,nowhere,wet", "column station: expected a station of door P1, found 'nowhere'. Known: 01, 02, 03, 04, 05, 06, 07, 08, 09, 10, 11, 12 and 24 more.")]
    public void A_slip_in_a_water_test_has_its_message(string row, string message) =>
        Assert.Contains(WaterTestsReader.Read(InputFile.FromText("tests.csv", $"build,door,station,result\n{row}\n"), Plan).Problems, p => p.ToString() == "tests.csv:2: " + message);

    [Fact]
    public void Rows_hold_a_slope_and_a_pond_depth_for_each_attitude()
    {
        IReadOnlyList<ResultRow> rows = DrainPlan.Run(Plan).Value.Rows;
        Assert.Equal(7, rows.Count);
        Assert.Equal(["level", "level", "nose-up", "nose-up", "nose-down", "nose-down", "between the attitudes"], rows.Select(r => r.Measurement.Definition));
        Assert.All(rows, r => Assert.Equal("P1-sill", r.Measurement.Zone));
        Assert.Equal(Verdict.Outside, rows[4].Verdict);
    }

    [Fact]
    public void Json_has_an_object_for_each_channel_and_attitude_with_the_promised_keys()
    {
        using JsonDocument json = JsonDocument.Parse(DrainOutput.Json(DrainPlan.Run(Plan).Value));
        JsonElement[] items = [.. json.RootElement.EnumerateArray()];
        Assert.Equal(3, items.Length);
        foreach (string key in new[] { "channel", "attitude", "fall_mm", "min_slope_percent", "runs", "ponds", "capacity_l_per_s", "inflow_l_per_s", "verdict" }) Assert.True(items[0].TryGetProperty(key, out _), key);
        foreach (string key in new[] { "from", "to", "length_mm", "slope_percent", "verdict" }) Assert.True(items[0].GetProperty("runs")[0].TryGetProperty(key, out _), key);
        foreach (string key in new[] { "low_point", "depth_mm", "volume_ml", "from_mm", "to_mm" }) Assert.True(items[2].GetProperty("ponds")[0].TryGetProperty(key, out _), key);
        Assert.Equal("within", items[0].GetProperty("verdict").GetString());
        Assert.Equal(JsonValueKind.Null, items[2].GetProperty("capacity_l_per_s").ValueKind);   // a run that rises has none
    }

    [Fact]
    public void A_build_without_levels_and_levels_of_several_builds_are_refused()
    {
        LevelLog log = Levels(Text(i => 402 - i, 0.02) + "T1-002,P1-sill,1,401,0.02\n");
        Assert.Contains("Say which one with --build", Assert.Single(DrainPlan.Run(Plan, log).Problems).ToString());
        Assert.Contains("levels of build T1-009", Assert.Single(DrainPlan.Run(Plan, log, "T1-009").Problems).ToString());
        Assert.True(DrainPlan.Run(Plan, log.Of("T1-001"), "T1-001").IsUsable);
    }

    [Fact]
    public void A_plan_without_channels_is_refused() => Assert.Contains("at least one channel", Assert.Single(DrainPlan.Run(Plan with { Channels = [] }).Problems).ToString());

    [Fact]
    public void A_scan_is_judged_like_levels_and_a_channel_it_misses_is_missing()
    {
        FitPlan plan = Plan with { Attitudes = [new("level", 0, 0)], Channels = [.. Plan.Channels, Sill("S1-sill", i => 402 - i, y: 440)] };
        ScannedChannels scan = ScannedChannels.Find("cabin.ply", plan.Channels, null, take =>
        {
            // Floor of the first channel only, sagging by 2 mm at its third point: 3 mm above the nominal third point is what its neighbours then have.
            for (double x = 2100; x <= 2500; x += 1)
            {
                double sag = 2 * Math.Max(0, 1 - Math.Abs(x - 2300) / 100);
                for (double y = -445; y <= -435; y += 1) take(new(x, y, 401 - (x - 2100) / 100 - sag));
            }
        });
        DrainResult result = DrainPlan.Run(plan, build: "T1-001", scan: scan).Value;
        ChannelInAttitude at = result.Channels[0].Attitudes[0];
        Pond pond = Assert.Single(at.Water.Ponds);
        Assert.Equal("3", pond.LowPoint);
        Near.Absolute(1, pond.DepthMm!.Value, 0.02);   // 2 mm of sag less the 1 mm that the next point lies lower
        Assert.Equal(Verdict.Outside, at.Runs[2].Verdict);
        Assert.Equal("cabin.ply has too few points on the floor of the channel", result.Channels[1].Reason);
        Assert.Equal("T1-001", result.Build);
    }

    private static ChannelResult Measured(FitPlan plan, Func<int, double> height, double uncertainty) => DrainPlan.Run(plan, Levels(Text(height, uncertainty))).Value.Channels[0];

    private static LevelLog Levels(string text) => LevelsReader.Read(InputFile.FromText("levels.csv", text), Plan with { Channels = [.. Plan.Channels] }).Value;

    private static string Text(Func<int, double> height, double uncertainty) =>
        "build,channel,point,z,uncertainty\n" + string.Concat(Enumerable.Range(1, 5).Select(i => Invariant($"T1-001,P1-sill,{i},{height(i):R},{uncertainty}\n")));

    private static Channel Sill(string name, Func<int, double> height, double catchment = 0.002, double y = -440) => new(name, "P1", [.. Enumerable.Range(1, 5).Select(i =>
        new ChannelPoint($"{i}", new(2000 + 100 * i, y, height(i)), ChannelShape.Rectangular, 12, 8, null, 0.01, i == 5 ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, catchment, 0.5, i + 1))]);

    /// <summary>A channel 20 mm below the sill stations of P1 whose floor sags at the third.</summary>
    private static Channel SagBesideSill(FitPlan plan)
    {
        Station[] sill = [.. plan.FindDoor("P1")!.Stations.Where(s => s.Zone == "sill").OrderBy(s => s.Position.X)];
        int low = Array.FindIndex(sill, s => s.Name == plan.FindDoor("P1")!.Stations.Where(t => t.Zone == "sill").ElementAt(2).Name);
        return new("P1-sill", "P1", [.. sill.Select((s, i) => new ChannelPoint($"{i + 1}", new(s.Position.X, s.Position.Y, sill.Min(t => t.Position.Z) - 20 - 0.5 * i - (i == low ? 4 : 0)), ChannelShape.Rectangular, 12, 8, null, 0.01,
            i == sill.Length - 1 ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, 0.001, 0.5, i + 2))]);
    }
}
