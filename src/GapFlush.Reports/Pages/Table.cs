namespace GapFlush.Reports.Pages;

/// <summary>A table; its head is repeated on every sheet.</summary>
/// <param name="Columns">The columns.</param>
/// <param name="Rows">The rows.</param>
/// <param name="Caption">What it shows, or null.</param>
public sealed record Table(IReadOnlyList<Column> Columns, IReadOnlyList<Row> Rows, string? Caption = null) : Block;
