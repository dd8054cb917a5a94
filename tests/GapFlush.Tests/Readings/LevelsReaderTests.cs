using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Tests.Readings;

public class LevelsReaderTests
{
    private static readonly FitPlan Plan = Shop.Plan with
    {
        Channels = [new("P1-sill", "P1", [.. Enumerable.Range(1, 5).Select(i => new ChannelPoint($"{i}", new(2000 + 100 * i, -440, 402 - i), ChannelShape.Rectangular, 12, 8, null, 0.01,
            i == 5 ? ChannelOutlet.OpenEnd : ChannelOutlet.None, null, 0.01, 0.5, i + 1))])],
    };

    [Fact]
    public void Heights_alone_and_whole_places_are_read()
    {
        LevelLog log = Read("build,channel,point,z\nT1-001,P1-sill,1,401.2\nT1-001,P1-sill,2,400.1\n").Value;
        Assert.Equal([401.2, 400.1], log.Levels.Select(l => l.Z));
        Assert.All(log.Levels, l => Assert.Null(l.X));
        ChannelLevel whole = Read("build;channel;point;x;y;z;uncertainty\nT1-001;P1-sill;1;2100,5;-440,1;401,2;0,08\n").Value.Levels[0];
        Assert.Equal((2100.5, -440.1, 401.2, 0.04), (whole.X, whole.Y, whole.Z, whole.StandardUncertaintyMm));
    }

    [Fact]
    public void Inches_are_turned_where_the_unit_says_so()
    {
        ChannelLevel level = Read("build,channel,point,z,unit,uncertainty\nT1-001,P1-sill,1,15.8,in,0.004\n").Value.Levels[0];
        Near.Digits(15.8 * 25.4, level.Z, 14);
        Near.Digits(0.002 * 25.4, level.StandardUncertaintyMm!.Value, 14);
    }

    [Fact]
    public void Repeats_are_their_mean_and_know_the_better_for_it()
    {
        ChannelLevel level = Assert.Single(Read("build,channel,point,z,repeat,uncertainty\nT1-001,P1-sill,1,401.0,1,0.1\nT1-001,P1-sill,1,401.2,2,0.1\n").Value.Levels);
        Assert.Equal((401.1, 2), (level.Z, level.Repeats));
        Near.Digits(0.05 / Math.Sqrt(2), level.StandardUncertaintyMm!.Value, 12);
    }

    [Fact]
    public void A_gauge_lends_its_uncertainty() =>
        Assert.Equal(0.03, Read("build,channel,point,z,gauge\nT1-001,P1-sill,1,401.0,SG-1\n").Value.Levels[0].StandardUncertaintyMm!.Value, 12);

    [Theory]
    [InlineData("T1-001,P1-sil,1,401.0", "levels.csv:2: column channel: expected a channel of channels.csv, found 'P1-sil'. Did you mean 'P1-sill'?")]
    [InlineData("T1-001,P1-sill,9,401.0", "levels.csv:2: column point: expected a point of channel P1-sill, found '9'.")]
    [InlineData("T1-001,P1-sill,1,high", "levels.csv:2: column z: expected a number")]
    [InlineData("T1-001,P1-sill,1,", "levels.csv:2: column z: expected")]
    [InlineData(",P1-sill,1,401.0", "levels.csv:2: column build: expected")]
    [InlineData("T1-001,P1-sill,1,15.79\nT1-001,P1-sill,2,15.75\nT1-001,P1-sill,3,15.71", "levels.csv:2: column z: expected a height near 401 mm, as the plan has it, found '15.79'. The heights of channel P1-sill look like inches; write in in column unit.")]
    [InlineData("T1-001,P1-sill,1,0.4010\nT1-001,P1-sill,2,0.4000\nT1-001,P1-sill,3,0.3990", "look like metres; write m in column unit.")]
    [InlineData("T1-001,P1-sill,1,401.0\nT1-001,P1-sill,1,401.1", "levels.csv:3: column point: expected point 1 of channel P1-sill once, found '1'. Line 2 has it already; delete one, or number them in column repeat.")]
    public void A_slip_has_its_message(string rows, string message)
    {
        Outcome<LevelLog> outcome = Read("build,channel,point,z\n" + rows + "\n");
        Assert.Contains(message, Assert.Single(outcome.Problems).ToString());
    }

    [Theory]
    [InlineData("unit", "ft", "column unit: expected mm, in, um or m")]
    [InlineData("uncertainty", "-1", "column uncertainty: expected an expanded uncertainty above 0")]
    [InlineData("gauge", "SG-7", "column gauge: expected a gauge of gauges.csv")]
    [InlineData("x", "2100", "column y: expected both x and y, or neither")]
    public void A_slip_in_an_optional_column_has_its_message(string column, string value, string message)
    {
        string y = column == "x" ? ",y" : "";
        Outcome<LevelLog> outcome = Read($"build,channel,point,z,{column}{y}\nT1-001,P1-sill,1,401.0,{value}{(y.Length > 0 ? "," : "")}\n");
        Assert.Contains(message, Assert.Single(outcome.Problems).ToString());
    }

    [Fact]
    public void A_missing_column_is_named() => Assert.Contains("z", Assert.Single(Read("build,channel,point,height\nT1-001,P1-sill,1,401\n").Problems).ToString());

    [Fact]
    public void Heights_of_another_datum_are_told_and_kept()
    {
        Outcome<LevelLog> outcome = Read("build,channel,point,z\nT1-001,P1-sill,1,1101.0\nT1-001,P1-sill,2,1100.0\nT1-001,P1-sill,3,1099.0\n");
        Assert.True(outcome.IsUsable);
        Assert.Contains("lie 700 mm above the plan's", Assert.Single(outcome.Notices));
    }

    [Fact]
    public void One_height_far_from_where_the_others_put_it_is_told()
    {
        Outcome<LevelLog> outcome = Read("build,channel,point,z\nT1-001,P1-sill,1,401\nT1-001,P1-sill,2,400\nT1-001,P1-sill,3,429\nT1-001,P1-sill,4,398\nT1-001,P1-sill,5,397\n");
        Assert.Contains("levels.csv:4: point 3 of channel P1-sill stands 30.0 mm above where the others put it", Assert.Single(outcome.Notices));
    }

    private static Outcome<LevelLog> Read(string text) => LevelsReader.Read(InputFile.FromText("levels.csv", text), Plan);
}
