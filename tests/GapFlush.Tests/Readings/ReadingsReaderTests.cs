using System.Text;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Tests.Readings;

public class ReadingsReaderTests
{
    private const string Head = "build,door,station,characteristic,value";

    private static ReadingLog Good(string text, FitPlan? plan = null)
    {
        Outcome<ReadingLog> outcome = ReadingsReader.Read(InputFile.FromText("r.csv", text), plan ?? Shop.Plan);
        Assert.Empty(outcome.Problems);
        return outcome.Value;
    }

    [Fact]
    public void A_full_row_is_read_column_by_column()
    {
        Reading r = Assert.Single(Good(
            Head + ",unit,gauge,inspector,taken_at,repeat,temperature_c,stage,definition,uncertainty,plan_issue,note\n" +
            "T1-001,P1,07,flush,-0.25,mm,SG-1,A. Reader,2026-03-04T10:15+01:00,2,21.5,trial,mid-gap,0.08,C,\"near the decal, left\"\n").Readings);
        Assert.Equal(("T1-001", "P1", "07", Characteristic.Flush, -0.25, "-0.25", "mm", 2), (r.Build, r.Door, r.Station, r.Characteristic, r.Value, r.WrittenValue, r.WrittenUnit, r.WrittenDecimals));
        Assert.Equal(("SG-1", "A. Reader", new DateTimeOffset(2026, 3, 4, 10, 15, 0, TimeSpan.FromHours(1)), 2, 21.5), (r.Gauge, r.Inspector, r.TakenAt, r.Repeat, r.TemperatureC));
        Assert.Equal(("trial", "mid-gap", 0.08, "C", "near the decal, left", "r.csv", 2), (r.Stage, r.Definition, r.ExpandedUncertainty, r.PlanIssue, r.Note, r.Source, r.Line));
    }

    [Fact]
    public void What_is_not_given_is_null_and_millimetres_are_meant()
    {
        Reading r = Assert.Single(Good(Head + "\nT1-001,P1,07,gap,4.1\n").Readings);
        Assert.Equal(("mm", 1), (r.WrittenUnit, r.WrittenDecimals));
        Assert.Equal(new object?[12], [r.Gauge, r.Inspector, r.TakenAt, r.Repeat, r.TemperatureC, r.Stage, r.Definition, r.ExpandedUncertainty, r.PlanIssue, r.Note, null, null]);
    }

    [Theory]
    [InlineData("in", "0.156", 3.9624, 3)]
    [InlineData("IN", "-1", -25.4, 0)]
    [InlineData("um", "3960", 3.96, 0)]
    [InlineData("µm", "3960.5", 3.9605, 1)]
    [InlineData("mm", "396e-2", 3.96, 2)]
    public void Units_are_turned_into_millimetres(string unit, string written, double value, int decimals)
    {
        Reading r = Assert.Single(Good($"{Head},unit,uncertainty\nT1-001,P1,07,gap,{written},{unit},1\n").Readings);
        Near.Digits(value, r.Value, 14);
        Near.Digits(value / double.Parse(written), r.ExpandedUncertainty!.Value, 14);
        Assert.Equal((written, decimals), (r.WrittenValue, r.WrittenDecimals));
    }

    [Theory]
    [InlineData("2026-03-04", "2026-03-04T00:00:00.0000000+00:00")]
    [InlineData("2026-03-04T10:15", "2026-03-04T10:15:00.0000000+00:00")]
    [InlineData("2026-03-04 10:15:30", "2026-03-04T10:15:30.0000000+00:00")]
    [InlineData("2026-03-04T10:15:30.25Z", "2026-03-04T10:15:30.2500000+00:00")]
    [InlineData("2026-03-04T10:15-05:00", "2026-03-04T10:15:00.0000000-05:00")]
    [InlineData("20260304T101530", "2026-03-04T10:15:30.0000000+00:00")]
    public void Times_are_read_as_ISO_8601(string written, string round) =>
        Assert.Equal(round, Assert.Single(Good($"{Head},taken_at\nT1-001,P1,07,gap,4.1,{written}\n").Readings).TakenAt!.Value.ToString("o"));

    [Fact]
    public void A_blank_stage_is_the_only_stage_of_the_plan()
    {
        string text = Head + ",stage\nT1-001,P1,07,gap,4.1,\n";
        Assert.Null(Good(text).Readings[0].Stage);
        Assert.Equal("trial", Good(text, Shop.Plan with { Stages = [Shop.Plan.Stages[0]] }).Readings[0].Stage);
        Assert.Null(Good(text, Shop.Plan with { Stages = [] }).Readings[0].Stage);
    }

    [Fact]
    public void Spellings_of_one_sheet_give_the_same_readings_and_different_hashes()
    {
        string point = Head + ",note\nT1-001,P1,07,gap,4.1,x y\nT1-001,P1,08,gap,-0.05,\n";
        string comma = point.Replace(',', ';').Replace('.', ',');
        byte[][] spellings =
        [
            Encoding.UTF8.GetBytes(point), Encoding.UTF8.GetBytes("\uFEFF" + point.Replace("\n", "\r\n")), Encoding.UTF8.GetBytes(comma),
            Encoding.UTF8.GetBytes(comma.Replace(';', '\t').Replace("\n", "\r")), [.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes(comma)],
            Encoding.UTF8.GetBytes(point.Replace("P1", "\"P1\"").Replace("\nT1-001,P1,08", "\n\n,,,,,\nT1-001,P1,08")),
        ];
        ReadingLog[] logs = [.. spellings.Select(b => ReadingsReader.Read(InputFile.FromBytes("r.csv", b), Shop.Plan).Value)];
        Assert.All(logs, log => Assert.Equal([(4.1, "x y"), (-0.05, null)], log.Readings.Select(r => (r.Value, r.Note))));
        Assert.Equal(logs.Length, logs.Select(l => l.Sha256).Distinct().Count());
    }

    // Made with sha256sum (GNU coreutils 9).
    [Fact]
    public void The_hash_is_that_of_the_bytes() =>
        Assert.Equal("685ae0291bdc7188c385b0a0c3d7dfc6695ad7e009338d516b97eae3c28c122f", Good(Head + "\nT1-001,P1,07,gap,4.1\n").Sha256);

    [Fact]
    public void Columns_not_understood_and_gauges_not_listed_are_said()
    {
        Assert.Equal(["r.csv: not understood and left aside: columns colour, shift."], Good(Head + ",colour,shift\nT1-001,P1,07,gap,4.1,red,2\n").Notices);
        Assert.Equal(["r.csv: gauges are named, but the plan has no gauges.csv; their resolution, uncertainty and calibration are not known."],
            Good(Head + ",gauge\nT1-001,P1,07,gap,4.1,X-9\n", Shop.Plan with { Gauges = [] }).Notices);
    }

    [Fact]
    public void Several_builds_may_stand_in_one_file() =>
        Assert.Equal(["T1-002", "T1-001"], Good(Head + "\nT1-002,P1,07,gap,4.1\nT1-001,P1,07,gap,4.1\nT1-002,P1,08,gap,4.1\n").Builds);
}
