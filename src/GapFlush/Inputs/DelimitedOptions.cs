namespace GapFlush.Inputs;

/// <summary>What a delimited file may look like.</summary>
/// <param name="Separators">The separators allowed, in the order of preference where a header has none: any of <c>,</c> <c>;</c> and tab.</param>
/// <param name="NumberColumns">The columns that hold numbers; they decide whether the decimal mark is a comma. Letter case does not matter.</param>
public sealed record DelimitedOptions(IReadOnlyList<char> Separators, IReadOnlyCollection<string> NumberColumns)
{
    /// <summary>Whether a header without rows is refused; where it is not, the table may be empty.</summary>
    public bool RowsRequired { get; init; } = true;

    /// <summary>Comma only, decimal point: the files of a fit plan.</summary>
    public static DelimitedOptions Comma(params IReadOnlyCollection<string> numberColumns) => new([','], numberColumns);

    /// <summary>Comma, semicolon or tab, and a decimal comma where the separator is not the comma: what the shop floor hands in.</summary>
    public static DelimitedOptions Any(params IReadOnlyCollection<string> numberColumns) => new([',', ';', '\t'], numberColumns);
}
