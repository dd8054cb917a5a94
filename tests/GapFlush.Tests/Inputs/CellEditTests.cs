using System.Text;
using GapFlush.Inputs;

namespace GapFlush.Tests.Inputs;

public class CellEditTests
{
    [Fact]
    public void One_cell_changes_and_every_other_byte_stays()
    {
        byte[] before = [0xEF, 0xBB, 0xBF, .. Encoding.UTF8.GetBytes("gauge;note;uncertainty\r\nTG-1;\"a;\r\nb\";0,12\r\nTG-2;;\n"), 0xE9];
        byte[] after = CellEdit.Set(before, ';', [(4, 2, "0,3")]);
        Assert.Equal([.. before[..^2], .. "0,3"u8.ToArray(), .. before[^2..]], after);
        string inside = Encoding.UTF8.GetString(CellEdit.Set(before, ';', [(2, 2, "9")])[..^1]);
        Assert.Contains("\"a;\r\nb\";9\r\nTG-2;;\n", inside, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1, 5, "x")]
    [InlineData(9, 0, "x")]
    [InlineData(1, 0, "a;b")]
    public void A_cell_that_is_not_there_or_words_that_break_the_row_are_refused(int line, int column, string words) =>
        Assert.Throws<ArgumentException>(() => CellEdit.Set("a;b\nc;d\n"u8, ';', [(line, column, words)]));
}
