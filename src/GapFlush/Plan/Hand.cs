namespace GapFlush.Plan;

/// <summary>Which side of the aircraft a door belongs to. It is data, never inferred from coordinates.</summary>
public enum Hand
{
    /// <summary>Port side, the pilot's left.</summary>
    Left,

    /// <summary>Starboard side, the pilot's right.</summary>
    Right,

    /// <summary>A door without a hand: top, bottom, or the only one of its kind.</summary>
    None,
}
