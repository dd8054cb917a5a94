using System.Globalization;
using System.Text;
using GapFlush.Numerics;
using GapFlush.Scans;

namespace GapFlush.Tests.Scans;

public class FastNumberTests
{
    // To the last bit: what the platform makes of the same text.
    [Fact]
    public void Numbers_are_read_as_the_platform_reads_them() => Cases.Each(20_000, random =>
    {
        int whole = random.Below(10), decimals = random.Below(12);
        string text = (random.Below(3) == 0 ? "-" : "") + Digits(whole, random) + (decimals > 0 || random.Below(4) == 0 ? "." : "") + Digits(decimals, random) + (random.Below(20) == 0 ? Invariant($"e{random.Below(40) - 20}") : "");
        bool isNumber = double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double expected);
        Assert.Equal(isNumber, FastNumber.TryRead(Encoding.ASCII.GetBytes(text), decimalComma: false, out double found));
        if (isNumber) Assert.Equal(BitConverter.DoubleToInt64Bits(expected), BitConverter.DoubleToInt64Bits(found));

        // The same among others in a line, where eight bytes are looked at at once.
        TextLayout layout = new((byte)' ', Comma: false, (0, 1, 2));
        string other = Invariant($"{random.Between(-3000, 3000):0.0000}");
        byte[] line = Encoding.ASCII.GetBytes($"{other} {text} {other}\n{new string(' ', random.Below(30))}");
        if (!layout.TryQuick(line, out int taken, out double x, out double y, out double z)) return;
        Assert.True(isNumber, text);
        Assert.Equal(Array.IndexOf(line, (byte)'\n') + 1, taken);
        Assert.Equal(BitConverter.DoubleToInt64Bits(expected), BitConverter.DoubleToInt64Bits(y));
        Assert.Equal((double.Parse(other, CultureInfo.InvariantCulture), x), (x, z));
    });

    // A line that is looked at closely costs ten times as much, so that plain ones must not be.
    [Theory]
    [InlineData("1234.5678 -0.1234 12345.1\n")]
    [InlineData("-1 2 3\r\n")]
    [InlineData("123456789.5 1.12345678901 .5\n")]
    [InlineData("1.5 2.5 3.5 255 0 17 0.003\n")]
    public void Plain_lines_need_no_closer_look(string line) =>
        Assert.True(new TextLayout((byte)' ', Comma: false, (0, 1, 2)).TryQuick(Encoding.ASCII.GetBytes(line + new string(' ', 64)), out _, out _, out _, out _));

    [Theory]
    [InlineData("1 2\n3 ")]
    [InlineData("1 2 x\n")]
    [InlineData("1 2 3")]
    [InlineData("- 2 3\n")]
    [InlineData("1..5 2 3\n")]
    [InlineData("1 2 3x\n")]
    [InlineData("1.5.5 2 3\n")]
    public void Others_do(string line) =>
        Assert.False(new TextLayout((byte)' ', Comma: false, (0, 1, 2)).TryQuick(Encoding.ASCII.GetBytes(line), out _, out _, out _, out _));

    private static string Digits(int count, SeededRandom random) => string.Concat(Enumerable.Range(0, count).Select(_ => (char)('0' + random.Below(10))));
}
