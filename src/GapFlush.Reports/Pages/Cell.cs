using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Pages;

/// <summary>A cell: words, and a verdict mark in front where there is one.</summary>
/// <param name="Text">The words.</param>
/// <param name="Mark">The mark, or null.</param>
public sealed record Cell(string Text, Mark? Mark = null)
{
    /// <summary>A cell of plain words; null is blank.</summary>
    public static implicit operator Cell(string? text) => FromString(text);

    /// <summary>A cell of plain words; null is blank.</summary>
    public static Cell FromString(string? text) => new(text ?? "");
}
