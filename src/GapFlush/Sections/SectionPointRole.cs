namespace GapFlush.Sections;

/// <summary>What a point of a section was taken for.</summary>
public enum SectionPointRole
{
    /// <summary>A point that bears on the surround's outline.</summary>
    Surround,

    /// <summary>A point that bears on the door's outline.</summary>
    Door,

    /// <summary>Clutter: seal, tape, fastener, stray.</summary>
    SetAside,

    /// <summary>Not told, because no outlines were found.</summary>
    Unknown,
}
