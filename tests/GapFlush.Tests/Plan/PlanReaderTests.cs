using System.Text;
using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Tests.Plan;

public class PlanReaderTests
{
    [Fact]
    public void The_small_plan_is_read_without_a_remark()
    {
        Outcome<FitPlan> outcome = new SmallPlan().Read();
        Assert.Empty(outcome.Problems);
        Assert.Empty(outcome.Notices);
        Assert.True(outcome.IsUsable);
    }

    [Fact]
    public void Every_key_of_plan_json_arrives()
    {
        FitPlan plan = new SmallPlan().Read().Value;
        Assert.Equal(("Small", "B", "Test article", "x aft, y starboard, z up"), (plan.Name, plan.Issue, plan.AircraftType, plan.Axes));
        Assert.Equal((new Vector3(1, 0, 0), 20.0, DecisionRule.ProveConformity, 102.0), (plan.Airflow!.Value, plan.ReferenceTemperatureC, plan.DecisionRule, plan.RainMmPerH!.Value));
        Door port = plan.FindDoor("P1")!, starboard = plan.FindDoor("S1")!;
        Assert.Equal(("Port door", Hand.Left, 2.5e-6, 3e-6), (port.Title, port.Hand, port.ExpansionPerK!.Value, port.SurroundExpansionPerK!.Value));
        Assert.Equal((new GapDefinition(GapKind.Edge, 6), new FlushDefinition(FlushKind.MidGap, null, null, null)), (port.GapDefinition, port.FlushDefinition));
        Assert.Equal((Hand.Right, null, null), (starboard.Hand, starboard.ExpansionPerK, starboard.SurroundExpansionPerK));
        Assert.Equal((new GapDefinition(GapKind.Depth, 2), new FlushDefinition(FlushKind.TwoFoot, 5, 25, 8)), (starboard.GapDefinition, starboard.FlushDefinition));
        Assert.Equal([new Stage("bare", "bare", "removed", "latched", "jacks"), new Stage("painted", "painted", "removed", "latched", "wheels")], plan.Stages);
        Assert.Equal([new PaintAllowance("bare", "painted", 0.1, 0.02)], plan.Paint);
        Assert.Equal([new Attitude("level", 0, 0), new Attitude("tail-down", 11, 0)], plan.Attitudes);
    }

    // Both doors run clockwise as drawn in x and z; seen from outside that is one way round for P1 and the other for S1, and u must point inward on both.
    [Theory]
    [InlineData("P1", -1)]
    [InlineData("S1", 1)]
    public void Stations_get_their_order_their_length_and_u(string code, int outward)
    {
        Door door = new SmallPlan().Read().Value.FindDoor(code)!;
        Assert.Equal(["1", "2", "3", "4", "5", "6", "7", "8"], door.Stations.Select(s => s.Name));
        Assert.Equal(["header", "latch", "sill", "hinge"], door.Zones);
        Assert.Equal([0, 1, 2, 3, 4, 5, 6, 7], door.Stations.Select(s => s.Index));
        Assert.Equal([0, 300, 550, 950, 1200, 1500, 1750, 2150], door.Stations.Select(s => s.AlongMm));   // four sides and four corners of 150 by 200, so 250
        Assert.Equal(2400, door.PerimeterMm);
        Assert.Equal([new(0, 0, -1), new(0, 0, -1), new(-1, 0, 0), new(-1, 0, 0), new(0, 0, 1), new(0, 0, 1), new(1, 0, 0), new Vector3(1, 0, 0)], door.Stations.Select(s => s.IntoDoor));
        Assert.All(door.Stations, s => Assert.Equal(new(0, outward, 0), s.Normal));
    }

    // Where a side has no stations the tangent turns right round from one station to the next; still u points inward.
    [Theory]
    [InlineData("P1,7,hinge,1000,-500,500,0,-1,0,0,0,1\nP1,8,hinge,1000,-500,900,0,-1,0,0,0,1\n")]
    [InlineData("P1,3,latch,1600,-500,900,0,-1,0,0,0,-1\nP1,4,latch,1600,-500,500,0,-1,0,0,0,-1\n")]
    [InlineData("P1,1,header,1150,-500,1100,0,-1,0,1,0,0\nP1,2,header,1450,-500,1100,0,-1,0,1,0,0\n")]
    public void A_side_of_the_door_may_be_without_stations(string rows)
    {
        Door whole = new SmallPlan().Read().Value.Doors[0];
        SmallPlan small = new();
        foreach (string file in new[] { "limits.csv", "seals.csv" }) small.Put(file, small[file].Split('\n')[0] + "\n");
        Outcome<FitPlan> read = small.Edit("stations.csv", rows, "").Remove("seal-curves.csv").Read();
        Assert.Empty(read.Problems);
        Assert.All(read.Value.Doors[0].Stations, s => Assert.Equal(whole.Find(s.Name)!.IntoDoor, s.IntoDoor));
    }

    [Fact]
    public void Every_row_of_the_other_tables_arrives()
    {
        FitPlan plan = new SmallPlan().Read().Value;
        Assert.Equal(9, plan.Limits.Rows.Count);
        Assert.Equal(new LimitRow("P1", null, "3", Characteristic.Gap, null, 3.5, new(2.8, 4.2), 4), plan.Limits.Rows[2]);
        Assert.Equal([new(null, null, "bulb-12", 12.5, 20), new Seal("P1", "sill", "bulb-14", 14, null)], plan.Seals);
        Assert.Equal([(10.0, 60.0), (30, 180), (50, 600)], plan.SealCurves.Where(p => p.Seal == "bulb-12").Select(p => (p.CompressionPercent, p.LoadNPerM)));
        Assert.Equal([new("P1", "hinge-upper-out", new(1000, -500, 900), new(0, -1, 0), -2, 2, 0.5), new("P1", "hinge-lower-out", new(1000, -500, 500), new(0, -1, 0), -2, 2, 0.5),
            new("P1", "striker", new(1600, -500, 700), new(0, -1, 0), -3, 3, null), new Adjuster("P1", "stop", new(1300, -500, 1100), new(0, 0, 1), 0, 0, null)], plan.Adjusters);
        Assert.Equal([new("T1", new(900, -510, 1200), 0.05), new("T2", new(1700, -510, 1200), 0.05), new Datum("T3", new(1700, -510, 200), null)], plan.Datums);
        Assert.Equal([new(new(950, -500, 1000), new(0, -1, 0), null), new(new(1300, -500, 700), new(0, -1, 0), "P1"), new SkinPoint(new(1300, 500, 700), new(0, 1, 0), "S1")], plan.Skin);
        Assert.Equal([new("TG-01", "taper gauge", 0.05, 0.15, 2, new DateOnly(2027, 3, 31)), new Gauge("SG-02", "step gauge", 0.01, 0.06, 2, new DateOnly(2027, 6, 30))], plan.Gauges);
        Assert.Equal([new("001", 1, "P1", "A", "A", 1, new DateOnly(2026, 2, 3)), new("001", 1, "S1", "A", "A", 1, new DateOnly(2026, 2, 3)), new BuildEntry("002", 2, "P1", "A", "B", 2, new DateOnly(2026, 3, 10))], plan.Builds);
    }

    [Fact]
    public void A_cross_section_holds_until_the_next_and_an_outlet_only_where_it_stands()
    {
        Channel gutter = new SmallPlan().Read().Value.Channels[0];
        Assert.Equal(("gutter-P1", "P1"), (gutter.Name, gutter.Door));
        Assert.All(gutter.Points, p => Assert.Equal((ChannelShape.Rectangular, 12.0, 6.0, null, 0.01, 1.0), (p.Shape, p.WidthMm!.Value, p.DepthMm!.Value, p.SideSlope, p.Roughness!.Value, p.MinSlopePercent!.Value)));
        Assert.Equal([ChannelOutlet.OpenEnd, ChannelOutlet.None, ChannelOutlet.OpenEnd], gutter.Points.Select(p => p.Outlet));
        Assert.Equal([0.1, 0.2, 0.1], gutter.Points.Select(p => p.CatchmentM2!.Value));
        Assert.Equal([2, 3, 4], gutter.Points.Select(p => p.Line));
    }

    [Fact]
    public void Three_files_make_a_plan_and_the_rest_is_empty_or_usual()
    {
        SmallPlan small = new();
        string[] optional = ["seals.csv", "seal-curves.csv", "channels.csv", "adjusters.csv", "datums.csv", "skin.csv", "gauges.csv", "builds.csv"];
        foreach (string file in optional) small.Remove(file);
        FitPlan plan = small.Put("plan.json", """{ "plan": "p", "aircraft_type": "a", "issue": null, "doors": [{ "door": "P1" }, { "door": "S1" }] }""").Edit("limits.csv", ",,,gap,bare,3.7,2.7,4.7\n", "").Edit("limits.csv", ",,,compression,painted,35,25,50\n", "").Read().Value;
        Assert.Equal((null, null, 20.0, DecisionRule.ProveConformity, null), (plan.Issue, plan.Airflow, plan.ReferenceTemperatureC, plan.DecisionRule, plan.RainMmPerH));
        Assert.Equal(("P1", Hand.None, "edge", null, "mid-gap"), (plan.Doors[0].Title, plan.Doors[0].Hand, plan.Doors[0].GapDefinition.Code, plan.Doors[0].GapDefinition.DepthMm, plan.Doors[0].FlushDefinition.Code));
        Assert.Empty(plan.Stages);
        Assert.Equal(0, plan.Seals.Count + plan.SealCurves.Count + plan.Channels.Count + plan.Adjusters.Count + plan.Datums.Count + plan.Skin.Count + plan.Gauges.Count + plan.Builds.Count + plan.Paint.Count + plan.Attitudes.Count);
    }

    [Fact]
    public void Byte_order_marks_line_ends_and_folders_in_names_do_no_harm()
    {
        FitPlan plain = new SmallPlan().Read().Value;
        InputFile[] files = [.. new SmallPlan().Files().Select(f => new InputFile("C:\\plans\\d4/" + f.Name, () => new MemoryStream([0xEF, 0xBB, 0xBF, .. Encoding.UTF8.GetBytes(Text(f).Replace("\n", "\r\n"))])))];
        Outcome<FitPlan> read = PlanReader.Read(files);
        Assert.Empty(read.Problems);
        Assert.Empty(read.Notices);
        Assert.Equal(plain.Doors.SelectMany(d => d.Stations.Select(s => (s.Name, s.Zone, s.Position, s.IntoDoor))), read.Value.Doors.SelectMany(d => d.Stations.Select(s => (s.Name, s.Zone, s.Position, s.IntoDoor))));
        Assert.Equal(plain.Limits.Rows, read.Value.Limits.Rows);
    }

    [Fact]
    public void Column_order_is_free()
    {
        SmallPlan turned = new();
        foreach (string file in turned.Files().Select(f => f.Name).Where(n => n.EndsWith(".csv", StringComparison.Ordinal)).ToArray())
            turned.Put(file, string.Join('\n', turned[file].TrimEnd('\n').Split('\n').Select(l => string.Join(',', l.Split(',').Reverse()))));
        FitPlan plain = new SmallPlan().Read().Value, read = turned.Read().Value;
        Assert.Equal(plain.Limits.Rows, read.Limits.Rows);
        Assert.Equal(plain.Builds, read.Builds);
        Assert.Equal(plain.Channels.SelectMany(c => c.Points), read.Channels.SelectMany(c => c.Points));
    }

    [Fact]
    public void Stages_may_say_fitted_and_latched_with_true_and_false_and_axes_may_be_apart()
    {
        FitPlan plan = new SmallPlan().Edit("plan.json", "\"axes\": \"x aft, y starboard, z up\"", "\"axes\": { \"x\": \"aft\", \"y\": \"starboard\", \"z\": \"up\" }")
            .Edit("plan.json", "\"paint\": \"bare\", \"seal\": \"removed\", \"latch\": \"latched\"", "\"paint\": \"bare\", \"seal\": true, \"latch\": false").Read().Value;
        Assert.Equal(new Stage("bare", "bare", "fitted", "free", "jacks"), plan.Stages[0]);
        Assert.Equal("x aft, y starboard, z up", plan.Axes);
    }

    [Fact]
    public void Problems_in_every_file_are_told_together_in_the_order_of_files_and_lines()
    {
        Outcome<FitPlan> read = new SmallPlan()
            .Edit("builds.csv", "002,2,P1", "002,x,P1").Edit("gauges.csv", "0.15", "0").Edit("skin.csv", "surround", "").Edit("datums.csv", "T2", "T1").Edit("adjusters.csv", "-3,3", "3,-3")
            .Edit("channels.csv", "hole,8", "hole,").Edit("seal-curves.csv", "bulb-12,50,600", "bulb-12,5,600").Edit("seals.csv", "12.5", "-1").Edit("limits.csv", "2.8,4.2", "4.2,2.8").Edit("limits.csv", ",sill,", ",sil,")
            .Edit("stations.csv", "P1,8,hinge,1000", "P1,8,hinge,far").Edit("stations.csv", "P1,2,header,1450", "P1,2,header,").Edit("plan.json", "\"hand\": \"right\"", "\"hand\": \"rigth\"").Edit("plan.json", "102", "-1").Read();
        Assert.False(read.IsUsable);
        Assert.Equal(["plan.json:23", "plan.json:43", "stations.csv:3", "stations.csv:9", "limits.csv:3", "limits.csv:4", "seals.csv:2", "seal-curves.csv:4", "channels.csv:6", "adjusters.csv:4", "datums.csv:3", "skin.csv:2", "gauges.csv:2", "builds.csv:4"],
            read.Problems.Select(p => $"{p.Source}:{p.Line}"));
    }

    [Fact]
    public void A_broken_file_leaves_the_others_checked_and_what_refers_to_it_unjudged()
    {
        Outcome<FitPlan> read = new SmallPlan().Put("plan.json", "{").Edit("stations.csv", "P1,2,header,1450", "P1,2,header,x").Edit("gauges.csv", "0.15", "0").Read();
        Assert.Equal(["plan.json", "stations.csv", "gauges.csv"], read.Problems.Select(p => p.Source));
        read = new SmallPlan().Put("stations.csv", "door\nP1\n").Edit("limits.csv", "2.8,4.2", "4.2,2.8").Read();
        Assert.Equal(["stations.csv", "limits.csv"], read.Problems.Select(p => p.Source).Distinct());
        Assert.Equal(12, read.Problems.Count);   // eleven columns are missing
    }

    [Fact]
    public void The_same_slip_on_many_lines_is_told_once_with_its_lines()
    {
        SmallPlan broken = new();
        broken.Put("skin.csv", "x,y,z,nx,ny,nz,part\n" + string.Concat(Enumerable.Repeat("1,2,3,0,0,1,wing\n", 14)));
        Assert.Equal("skin.csv:2: column part: expected surround or a door of plan.json, found 'wing'. Known: surround, P1, S1. The same on lines 3, 4, 5, 6, 7, 8, 9, 10 and 5 more.", Assert.Single(broken.Read().Problems).ToString());
    }

    // Whatever a damaged disk, a spreadsheet or an editor makes of a file, the reader answers; it never throws. 12,000 cases passed once; 600 run each time.
    [Fact]
    public void Any_damage_ends_in_a_plan_or_in_messages() => Cases.Each(600, random =>
    {
        SmallPlan plan = new();
        string[] files = [.. plan.Files().Select(f => f.Name)], junk = ["", ",", "\"", "\n", "-", "1e300", "NaN", "{", "]", "\t", "é", "0", "P1", ";", "null", "\0", "9999999999999999999999"];
        for (int damage = 1 + random.Below(4); damage > 0; damage--)
        {
            string file = files[random.Below(files.Length)], text = plan[file];
            int from = random.Below(text.Length + 1), length = Math.Min(random.Below(4) switch { 0 => 0, 1 => 1, 2 => random.Below(12), _ => random.Below(300) }, text.Length - from);
            plan.Put(file, text.Remove(from, length).Insert(from, junk[random.Below(junk.Length)]));
        }
        Outcome<FitPlan> outcome = plan.Read();
        Assert.Equal(outcome.Problems.Count == 0, outcome.IsUsable);
        Assert.All(outcome.Problems, p => Assert.True(p.Expected.Length > 0 && p.Remedy.Length > 0 && p.Source.Length > 0 && p.Line >= 0, p.ToString()));
        Assert.All(outcome.Problems, p => Assert.True(p.Line <= plan[p.Source].Split('\n').Length, p.ToString()));
    });

    private static readonly (string Name, Func<SmallPlan, SmallPlan> Edit, string Notice)[] _remarks =
    [
        ("an unknown key", p => p.Edit("plan.json", "\"issue\": \"B\",", "\"issue\": \"B\",\n  \"remark\": \"x\","), "plan.json:4: key remark is not one of a plan's; it is kept in the file and not used."),
        ("a misspelt key", p => p.Edit("plan.json", "\"title\": \"Port door\"", "\"titel\": \"Port door\""), "plan.json:12: key doors[0].titel is not one of a plan's; it is kept in the file and not used. Did you mean 'title'?"),
        ("an unknown column", p => p.Put("datums.csv", "datum,x,y,z,colour\nT1,1,2,3,red\n"), "datums.csv: column 'colour' is not one of a plan's; it is kept in the file and not used."),
        ("a misspelt column", p => p.Put("datums.csv", "datum,x,y,z,simga\nT1,1,2,3,0.1\n"), "datums.csv: column 'simga' is not one of a plan's; it is kept in the file and not used. Did you mean 'sigma'?"),
        ("a misspelt optional file", p => p.Put("adjuster.csv", p["adjusters.csv"]).Remove("adjusters.csv"), "adjuster.csv: not a file of a fit plan, so it was not read; if adjusters.csv is meant, rename it."),
        ("a parameter without its definition", p => p.Edit("plan.json", "\"gap_definition\": \"edge\"", "\"gap_definition\": \"corner\""), "plan.json:15: doors[0].edge_depth_mm: not used by gap_definition 'corner'."),
        ("a nominal outside its limits", p => p.Edit("limits.csv", "P1,,3,gap,,3.5", "P1,,3,gap,,5"), "limits.csv:4: nominal 5 of gap lies outside its own limits (2.8 to 4.2)."),
        ("a nominal beyond its one limit", p => p.Edit("limits.csv", ",,,step_forward,,,,0.5", ",,,step_forward,,1,,0.5"), "limits.csv:7: nominal 1 of step_forward lies outside its own limits (0.5 or less)."),
        ("doors without a limit", p => p.Edit("limits.csv", ",,,flush,", "P1,,,flush,"), "limits.csv: no limit for flush holds at any station of door S1; what is read there is shown and not judged."),
        ("stations without a limit", p => p.Edit("limits.csv", ",,,flush,", ",latch,,flush,").Edit("plan.json", "x aft", "x  aft"), "limits.csv: no limit for flush holds at 6 of 8 stations (1, 2, 5, 6, 7, 8) of door P1; what is read there is shown and not judged."),
        ("a zone in two runs", p => p.Edit("stations.csv", "P1,7,hinge", "P1,7,header").Edit("stations.csv", "P1,6,sill", "P1,6,header"), "stations.csv:7: zone header of door P1 is met in 2 separate runs; gap range and taper are taken over all of them together."),
        ("a diameter without a hole", p => p.Edit("channels.csv", "0.01,hole,8", "0.01,open-end,8"), "channels.csv:6: outlet_diameter is given, but the outlet is no hole; the diameter is not used."),
        ("an adjuster that must move", p => p.Edit("adjusters.csv", "-3,3", "1,3"), "adjusters.csv:4: adjuster striker of door P1 may not stay where it is: its moves go from 1 to 3 mm."),
        ("two builds of one sequence", p => p.Edit("builds.csv", "002,2,", "002,1,"), "builds.csv:4: builds 001 and 002 have the same sequence 1; their order is that of the file."),
        ("a port door on the starboard side", p => p.Edit("plan.json", "\"hand\": \"right\"", "\"hand\": \"left\""), "plan.json:20: door S1 has hand left, but its skin faces starboard in the plan's axes; correct the hand, or the stations."),
    ];

    public static TheoryData<string> Remarks => [.. _remarks.Select(s => s.Name)];

    [Theory]
    [MemberData(nameof(Remarks))]
    public void What_is_odd_but_usable_is_remarked_on(string name)
    {
        var remark = _remarks.Single(s => s.Name == name);
        Outcome<FitPlan> outcome = remark.Edit(new SmallPlan()).Read();
        Assert.Empty(outcome.Problems);
        Assert.Equal(remark.Notice, outcome.Notices[0]);
    }

    private static string Text(InputFile file)
    {
        using StreamReader reader = new(file.Open());
        return reader.ReadToEnd();
    }

    [Fact]
    public void A_flush_definition_without_its_distances_gets_usual_ones_and_is_told()
    {
        Outcome<FitPlan> read = new SmallPlan().Edit("plan.json", "      \"near_foot_mm\": 5,\n", "").Edit("plan.json", "      \"far_foot_mm\": 25,\n", "").Edit("plan.json", "\"mid-gap\"", "\"curve-carried\"").Read();
        Assert.Equal(new FlushDefinition(FlushKind.CurveCarried, null, null, 5), read.Value.Doors[0].FlushDefinition);
        Assert.Equal(new FlushDefinition(FlushKind.TwoFoot, 5, 25, 8), read.Value.Doors[1].FlushDefinition);
        Assert.Equal(3, read.Notices.Count(n => n.Contains("is taken (common practice, no source)", StringComparison.Ordinal)));
        Assert.Contains(read.Notices, n => n.Contains("doors[1].far_foot_mm: not given; 25 mm is taken", StringComparison.Ordinal));
        // The farther foot keeps its distance from a nearer one that is given.
        FlushDefinition moved = new SmallPlan().Edit("plan.json", "\"near_foot_mm\": 5", "\"near_foot_mm\": 30").Edit("plan.json", "      \"far_foot_mm\": 25,\n", "").Read().Value.Doors[1].FlushDefinition;
        Assert.Equal((30.0, 50.0), (moved.NearFootMm, moved.FarFootMm));
    }
}
