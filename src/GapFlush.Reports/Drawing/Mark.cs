namespace GapFlush.Reports.Drawing;

/// <summary>What a mark on a map or in a table tells. Each has its own form; colour only helps.</summary>
public enum Mark
{
    /// <summary>Within.</summary>
    Within,

    /// <summary>Undecided.</summary>
    Undecided,

    /// <summary>Outside.</summary>
    Outside,

    /// <summary>Missing.</summary>
    Missing,

    /// <summary>A doubt about the data.</summary>
    Doubt,
}
