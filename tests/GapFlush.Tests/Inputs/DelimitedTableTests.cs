using System.Text;
using GapFlush.Inputs;

namespace GapFlush.Tests.Inputs;

public class DelimitedTableTests
{
    private static readonly DelimitedOptions Any = DelimitedOptions.Any("value", "x");

    private static DelimitedTable Good(string text, DelimitedOptions? options = null) => Good(Encoding.UTF8.GetBytes(text), options);

    private static DelimitedTable Good(byte[] bytes, DelimitedOptions? options = null)
    {
        Outcome<DelimitedTable> outcome = DelimitedTable.Read(InputFile.FromBytes("t.csv", bytes), options ?? Any);
        Assert.Empty(outcome.Problems);
        return outcome.Value;
    }

    private static string[] Bad(string text, DelimitedOptions? options = null) => Bad(Encoding.UTF8.GetBytes(text), options);

    private static string[] Bad(byte[] bytes, DelimitedOptions? options = null) =>
        [.. DelimitedTable.Read(InputFile.FromBytes("t.csv", bytes), options ?? Any).Problems.Select(p => p.ToString())];

    private static string Dump(DelimitedTable table) =>
        string.Join(" / ", table.Rows.Select(r => Invariant($"{r.Line}: ") + string.Join("|", table.Columns.Select(c => r[c].Replace('\n', '~')))));

    [Theory]
    [InlineData("door,value\nP1,3.62\n", ',', false)]
    [InlineData("door;value\nP1;3.62\n", ';', false)]
    [InlineData("door;value\nP1;3,62\n", ';', true)]
    [InlineData("door\tvalue\nP1\t3,62\n", '\t', true)]
    [InlineData("sep=;\ndoor;value\nP1;3,62", ';', true)]
    [InlineData("\uFEFFdoor,value\r\nP1,3.62\r\n", ',', false)]
    [InlineData("door,value\rP1,3.62\r", ',', false)]
    [InlineData("\n\ndoor,value\n\n,,\n\"P1\" , 3.62\n", ',', false)]
    [InlineData("door,value,,\nP1,3.62,,\n,,,\n", ',', false)]
    [InlineData("door,value\nP1,3.62,,\n", ',', false)]
    public void Spellings_of_the_shop_floor_give_one_table(string text, char separator, bool decimalComma)
    {
        DelimitedTable table = Good(text);
        Assert.Equal(separator, table.Separator);
        Assert.Equal(decimalComma, table.DecimalComma);
        DelimitedRow row = Assert.Single(table.Rows);
        List<InputProblem> problems = [];
        Assert.Equal("P1", row["Door"]);
        Assert.Equal(3.62, row.Number("VALUE", problems));
        Assert.Equal("", row["no such column"]);
        Assert.Empty(problems);
    }

    [Fact]
    public void Lines_are_those_of_the_file_with_quoted_breaks_and_mixed_ends() =>
        Assert.Equal("2: P1|a~b, \"c\" / 5: P2|d / 6: P3|e", Dump(Good("door,note\r\nP1,\"a\r\nb, \"\"c\"\"\"\n\nP2,d\rP3,e")));

    [Fact]
    public void Blank_fields_between_tabs_stay_fields() =>
        Assert.Equal("2: P1||3.6| / 3: ||3.7|x", Dump(Good("door\tnote\tvalue\tgauge\nP1\t\t3.6\t\n\t\t3.7\tx\n")));

    [Fact]
    public void UTF16_with_its_mark_is_read()
    {
        foreach (Encoding encoding in new[] { Encoding.Unicode, Encoding.BigEndianUnicode })
            Assert.Equal("2: Tür|1.5", Dump(Good([.. encoding.GetPreamble(), .. encoding.GetBytes("door,value\r\nTür,1.5\r\n")])));
    }

    [Fact]
    public void Latin_1_is_found_by_looking_and_said()
    {
        DelimitedTable table = Good(Encoding.Latin1.GetBytes("door,note\nP1,x\nP1,Tür geprüft, µ".Replace(", µ", " µ")));
        Assert.Equal("Tür geprüft µ", table.Rows[1]["note"]);
        Assert.Equal(["t.csv: the bytes are not UTF-8 (first on line 3); they were read as Windows-1252, the usual superset of Latin-1."], table.Notices);
    }

    [Fact]
    public void Separators_and_decimal_commas_found_are_said() =>
        Assert.Equal(["t.csv: fields are separated by semicolon and numbers have a decimal comma; both were found by looking."], Good("door;value\nP1;3,62").Notices);

    [Fact]
    public void The_decimal_mark_is_looked_for_in_number_columns_only() =>
        Assert.Equal(["3,5", "3,6"], Good("note;value\nsee 1.5;3,5\n1.5;3,6").Rows.Select(r => r["value"]));

    [Theory]
    [InlineData("", "t.csv: expected a header row and at least one row below it, found nothing. The file is empty; give the file that was meant.")]
    [InlineData(",,\n", "t.csv: expected a header row and at least one row below it, found nothing. The file is empty; give the file that was meant.")]
    [InlineData(" \n\n", "t.csv: expected a header row and at least one row below it, found nothing. The file is empty; give the file that was meant.")]
    [InlineData("door,value\n", "t.csv: expected at least one row below the header, found 'a header alone'. Give the file with its rows.")]
    [InlineData("door,value\nP1,3.6\nP1\n", "t.csv:3: expected 2 fields, as in the header (1 found), found 'P1'. Add the missing fields; a blank field still needs its comma.")]
    [InlineData("door,note\nP1,a,b\n", "t.csv:2: expected 2 fields, as in the header (3 found), found 'P1,a,b'. Take out the comma that is too many, or put the field that holds it in quote marks.")]
    [InlineData("door,value\nP1,3,62\n", "t.csv:2: column value: expected 2 fields, as in the header (3 found), and a decimal point in numbers, found '3,62'. A decimal comma splits a number in two where the comma separates the fields; write a decimal point, or save the file with semicolons.")]
    [InlineData("door,value,door\nP1,3.6,P1\n", "t.csv:1: column door: expected each column once, found 'door'. Columns 1 and 3 have this name; rename or delete one.")]
    [InlineData("door,,value\nP1,x,3.6\n", "t.csv:1: expected a name for column 2, which has content on line 2, found nothing. Name the column in the header, or empty it.")]
    [InlineData("door,value\nP1,3.6\"\n", "t.csv:2: expected quote marks only round a whole field, found 'P1,3.6\"'. Take the quote mark out of the field; if it means inch, write in into the column unit.")]
    [InlineData("door,value\n\"P1\"x,3.6\n", "t.csv:2: expected a separator after a closing quote mark, found '\"P1\"x,3.6'. Double a quote mark that belongs to the text, or take it out.")]
    [InlineData("door,value\nP1,\"3.6\nP2,3.5\n", "t.csv:2: expected a closing quote mark, found 'P1,\"3.6 P2,3.5 '. A field that starts with a quote mark is never closed; close it, or take the mark out.")]
    [InlineData("door,value\nP1,3\0.6\n", "t.csv:2: expected text, found 'a NUL byte: this is not a text file, or it is damaged'. Give the text file, saved as UTF-8.")]
    [InlineData("door;value\nP1;3,6\nP1;3.7\n", "t.csv:3: column value: expected one decimal mark throughout the file, found '3.7'. Line 2 has '3,6' in column value; write points or commas, not both, and no marks between thousands.")]
    public void A_file_of_wrong_form_is_refused(string text, string message) => Assert.Equal([message], Bad(text));

    [Fact]
    public void A_half_UTF16_file_is_refused() =>
        Assert.Equal(["t.csv: expected text, found 'UTF-16 text that breaks off or is damaged'. Save the file again as UTF-8 text."], Bad([0xFF, 0xFE, 0x41]));

    [Theory]
    [InlineData("door;x\nP1;1\n", "t.csv:1: expected comma between the fields, found 'door;x'. The header has the semicolon between its fields; save the file with comma, and numbers with a decimal point.")]
    [InlineData("sep=;\ndoor;x\nP1;1\n", "t.csv:1: expected comma as the separator, found 'sep=;'. Save the file with comma between the fields.")]
    public void A_plan_file_is_held_to_the_comma(string text, string message) => Assert.Equal([message], Bad(text, DelimitedOptions.Comma("x")));

    [Fact]
    public void Every_ragged_row_is_named_in_one_pass() => Assert.Equal(3, Bad("door,value\nP1\nP1,3.6\nP1,3,61\nP1,a,b,c\n").Length);

    [Theory]
    [InlineData("3.62", 3.62)]
    [InlineData("-0.05", -0.05)]
    [InlineData("−0.05", -0.05)]
    [InlineData("+1.", 1)]
    [InlineData(".5", 0.5)]
    [InlineData("1e-3", 0.001)]
    [InlineData("0.1234567890123456789", 0.1234567890123456789)]
    public void Numbers_are_read(string text, double value)
    {
        List<InputProblem> problems = [];
        Assert.Equal(value, Good($"value\n{text}\n").Rows[0].Number("value", problems));
        Assert.Empty(problems);
    }

    [Theory]
    [InlineData(";", "NaN", "a finite number", "Leave out what was not read.")]
    [InlineData(";", "-Infinity", "a finite number", "Leave out what was not read.")]
    [InlineData(";", "1e400", "a number of ordinary size", "Write the value that was read.")]
    [InlineData(";", "1e-320", "a number of ordinary size", "Write the value that was read.")]
    [InlineData(";", "3.1 mm", "a number with a decimal point", "Write the digits only; a unit has a column of its own.")]
    [InlineData(";", "1'234.5", "a number with a decimal point and no marks between thousands", "Write the digits without spaces or marks between thousands.")]
    [InlineData(";", "1 234", "a number with a decimal point and no marks between thousands", "Write the digits without spaces or marks between thousands.")]
    [InlineData(";", "1.234,5", "a number with a decimal point and no marks between thousands", "Write the digits without spaces or marks between thousands.")]
    [InlineData(";", "wide", "a number with a decimal point", "Write digits, such as 3.62.")]
    [InlineData(",", "\"3,62\"", "a number with a decimal point", "Write a decimal point.")]
    public void What_is_no_number_is_reported(string separator, string text, string expected, string remedy)
    {
        List<InputProblem> problems = [];
        Assert.Null(Good($"door{separator}value\nP1{separator}{text}\n").Rows[0].Number("value", problems));
        InputProblem problem = Assert.Single(problems);
        Assert.Equal(("t.csv", 2, "value", text.Trim('"'), expected, remedy), (problem.Source, problem.Line, problem.Column, problem.Found, problem.Expected, problem.Remedy));
    }

    [Fact]
    public void Any_bytes_give_a_table_or_problems_and_never_throw() => Cases.Each(2000, random =>
    {
        const string alphabet = "ab,;\t\"\n\r.1\0\u00fc= ";
        string text = "door,value\n" + string.Concat(Enumerable.Range(0, random.Below(60)).Select(_ => alphabet[random.Below(alphabet.Length)]));
        byte[] bytes = random.Below(2) == 0 ? Encoding.UTF8.GetBytes(text) : Encoding.Latin1.GetBytes(text);
        Outcome<DelimitedTable> outcome = DelimitedTable.Read(InputFile.FromBytes("t.csv", bytes), Any);
        if (outcome.IsUsable) Assert.All(outcome.Value.Rows, r => Assert.InRange(r.Line, 2, 62));
        else Assert.All(outcome.Problems, p => Assert.StartsWith("t.csv:", p.ToString()));
    });
}
