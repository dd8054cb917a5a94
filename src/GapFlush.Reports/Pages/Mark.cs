namespace GapFlush.Reports.Pages;

/// <summary>The verdict marks of the maps, for use in text.</summary>
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
