using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Tests.Readings;

/// <summary>Every file of fixtures/broken/readings is refused with the one message that stands beside its name in messages.txt.</summary>
public class BrokenReadingsTests
{
    private static readonly string Folder = Fixture.At("broken", "readings");

    private static readonly FitPlan Plan = PlanReader.Read([.. Directory.EnumerateFiles(Path.Combine(Folder, "plan")).Order(StringComparer.Ordinal)
        .Select(f => InputFile.FromBytes(Path.GetFileName(f), File.ReadAllBytes(f)))]).Value;

    public static TheoryData<string, string> Files => [.. File.ReadAllLines(Path.Combine(Folder, "messages.txt")).Where(l => l.Length > 0).Select(l => l.Split('\t', 2)).Select(p => (p[0], p[1]))];

    [Theory]
    [MemberData(nameof(Files))]
    public void A_broken_file_is_refused_with_its_message(string name, string message)
    {
        Outcome<ReadingLog> outcome = ReadingsReader.Read(InputFile.FromBytes(name, File.ReadAllBytes(Path.Combine(Folder, name))), Plan);
        Assert.Equal([$"{name}:{message}"], outcome.Problems.Select(p => p.ToString()));
    }

    [Fact]
    public void Every_broken_file_has_its_message_and_there_are_enough()
    {
        string[] files = [.. Directory.EnumerateFiles(Folder, "*.csv").Select(f => Path.GetFileName(f)!).Order(StringComparer.Ordinal)];
        Assert.Equal(files, Files.Select(f => f.Data.Item1).Order(StringComparer.Ordinal));
        Assert.True(files.Length >= 30);
    }

    [Fact]
    public void All_problems_of_a_file_come_in_one_pass()
    {
        Outcome<ReadingLog> outcome = ReadingsReader.Read(InputFile.FromText("r.csv",
            "build,door,station,characteristic,value,unit,taken_at\nT1-001,P1,01,gap,4.1,mm,\n,P7,01,gap,x,ft,yesterday\nT1-001,P1,99,twist,4.1,mm,\nT1-001,P7,01,gap,4.1,mm,\n"), Plan);
        Assert.Equal(
        [
            "r.csv:3: column build: expected a value in column build, found nothing. Fill it in; this column must not be blank.",
            "r.csv:3: column door: expected a door of the plan, found 'P7'. Known: P1. The same on line 5.",
            "r.csv:3: column unit: expected mm, in, um or %, found 'ft'. Write one of these, or leave the unit blank for mm.",
            "r.csv:3: column value: expected a number with a decimal point, found 'x'. Write digits, such as 3.62.",
            "r.csv:3: column taken_at: expected a day or a time as ISO 8601 writes it, found 'yesterday'. Write it like 2026-03-04 or 2026-03-04T10:15, with year, month, day in this order.",
            "r.csv:4: column station: expected a station of door P1, found '99'. Known: 01, 02, 03, 04, 05, 06, 07, 08.",
            "r.csv:4: column characteristic: expected a characteristic that is read (gap, flush, land_gap), found 'twist'. Twist is worked out from the flush at the corners; log the flush.",
        ], outcome.Problems.Select(p => p.ToString()));
    }
}
