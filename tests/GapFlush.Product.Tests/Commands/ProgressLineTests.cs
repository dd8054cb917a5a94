using GapFlush.Cli.Running;
using GapFlush.Inputs;

namespace GapFlush.Product.Tests.Commands;

public class ProgressLineTests
{
    [Fact]
    public void Short_work_says_nothing_and_long_work_is_told_on_one_line_that_is_wiped()
    {
        Clock clock = new();
        using StringWriter writer = new();
        ProgressLine line = new(writer, clock, 40);
        line.Tell("sectioning station", 1, 54);
        line.End();
        Assert.Equal("", writer.ToString());
        clock.Seconds = 0.6;
        line.Tell("sectioning station", 12, 54);
        line.Tell("sectioning station", 13, 54);   // too soon to be read
        clock.Seconds = 0.8;
        line.Tell("reading x.ply, %", 1, 4);
        line.End();
        Assert.Equal("\rsectioning station 12 of 54\rreading x.ply, 25 %" + new string(' ', 8) + "\r" + new string(' ', 19) + "\r", writer.ToString());
    }

    [Fact]
    public void A_watched_file_reads_the_same_and_tells_how_far()
    {
        Clock clock = new() { Seconds = 0 };
        using StringWriter writer = new();
        ProgressLine line = new(writer, clock, 80);
        clock.Seconds = 1;
        using Stream stream = line.Watch(InputFile.FromBytes("a/b.ply", [1, 2, 3, 4])).Open();
        byte[] two = new byte[2];
        stream.ReadExactly(two);
        Assert.Equal([1, 2], two);
        Assert.Equal("\rreading b.ply, 50 %", writer.ToString());
    }

    private sealed class Clock : TimeProvider
    {
        public double Seconds { get; set; }

        public override long TimestampFrequency => 1000;

        public override long GetTimestamp() => (long)(1000 * Seconds);
    }
}
