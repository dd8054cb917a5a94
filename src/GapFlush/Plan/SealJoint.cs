namespace GapFlush.Plan;

/// <summary>How a seal sits between door and surround, and so which movement of the door opens it.</summary>
public enum SealJoint
{
    /// <summary>A flange behind the skin presses on a land: the land gap changes one for one with the door's movement in and out, as the flush does.</summary>
    Lap,

    /// <summary>The seal sits between the two edges: the land gap changes one for one with the gap.</summary>
    Butt,
}
