namespace GapFlush.Demo;

/// <summary>How a readings file is spelt. All of these are read alike.</summary>
public sealed record SheetSpelling
{
    /// <summary>Comma separated, decimal point, LF.</summary>
    public static SheetSpelling Plain { get; } = new();

    /// <summary>Between the fields: comma, semicolon or tab.</summary>
    public char Separator { get; init; } = ',';

    /// <summary>Write a decimal comma.</summary>
    public bool DecimalComma { get; init; }

    /// <summary>Start with a byte order mark.</summary>
    public bool ByteOrderMark { get; init; }

    /// <summary>End lines with CR LF.</summary>
    public bool CarriageReturns { get; init; }

    /// <summary>Put every field in quotes.</summary>
    public bool Quotes { get; init; }

    /// <summary>Write Latin-1 bytes instead of UTF-8.</summary>
    public bool Latin1 { get; init; }

    /// <summary>Write lengths in inches, four decimals, and say so in the unit column.</summary>
    public bool Inches { get; init; }
}
