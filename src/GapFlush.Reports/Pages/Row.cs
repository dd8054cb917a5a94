namespace GapFlush.Reports.Pages;

/// <summary>A row of a table.</summary>
/// <param name="Cells">One cell for each column.</param>
/// <param name="Strong">True where the row matters most: drawn bold.</param>
public sealed record Row(IReadOnlyList<Cell> Cells, bool Strong = false);
