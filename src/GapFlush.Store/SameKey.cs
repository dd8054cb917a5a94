namespace GapFlush.Store;

/// <summary>What to do with a reading whose build, door, station, characteristic, stage, definition and repeat the record already holds.</summary>
public enum SameKey
{
    /// <summary>Add nothing and hand back what stands against it, so that somebody decides.</summary>
    Ask,

    /// <summary>The new reading stands in for the old one, as a correction; a reading that is word for word the same is left out.</summary>
    Replace,

    /// <summary>The new reading is a further repeat, and gets the next free number.</summary>
    Repeat,
}
