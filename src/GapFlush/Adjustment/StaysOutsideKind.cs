namespace GapFlush.Adjustment;

/// <summary>Why no move brings a value inside.</summary>
public enum StaysOutsideKind
{
    /// <summary>The door is twisted: no movement of a stiff door changes that.</summary>
    Twist,

    /// <summary>The edge is out at this place only: shape, not position.</summary>
    LocalShape,

    /// <summary>More range, or no steps, would cure it.</summary>
    OutOfReach,

    /// <summary>Bringing it inside takes others outside: door and opening do not suit one another.</summary>
    Contradicts,

    /// <summary>It does not steer the search.</summary>
    OnlyReported,
}
