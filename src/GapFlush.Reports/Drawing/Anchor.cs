namespace GapFlush.Reports.Drawing;

/// <summary>Which part of a line of lettering stands at its place.</summary>
public enum Anchor
{
    /// <summary>Its start.</summary>
    Start,

    /// <summary>Its middle.</summary>
    Middle,

    /// <summary>Its end.</summary>
    End,
}
