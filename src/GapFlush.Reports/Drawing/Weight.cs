namespace GapFlush.Reports.Drawing;

/// <summary>How heavy lettering is.</summary>
public enum Weight
{
    /// <summary>Running text.</summary>
    Regular,

    /// <summary>What matters.</summary>
    Semibold,
}
