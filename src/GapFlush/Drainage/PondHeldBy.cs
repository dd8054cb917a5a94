namespace GapFlush.Drainage;

/// <summary>What holds a pond at its level.</summary>
public enum PondHeldBy
{
    /// <summary>The floor, where it rises on the way to the outlet.</summary>
    Floor,

    /// <summary>The lip: more water runs over it.</summary>
    Lip,

    /// <summary>Nothing that is known: there is no outlet, and the plan gives no depth to the lip.</summary>
    Nothing,
}
