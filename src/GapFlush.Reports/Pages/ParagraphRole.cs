namespace GapFlush.Reports.Pages;

/// <summary>What kind of paragraph it is.</summary>
public enum ParagraphRole
{
    /// <summary>Running text.</summary>
    Body,

    /// <summary>The answer: larger.</summary>
    Answer,

    /// <summary>A caution: framed.</summary>
    Caution,

    /// <summary>A note: smaller.</summary>
    Note,
}
