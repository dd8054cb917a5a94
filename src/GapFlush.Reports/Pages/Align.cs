namespace GapFlush.Reports.Pages;

/// <summary>How the cells of a column stand.</summary>
public enum Align
{
    /// <summary>Words.</summary>
    Left,

    /// <summary>Figures.</summary>
    Right,
}
