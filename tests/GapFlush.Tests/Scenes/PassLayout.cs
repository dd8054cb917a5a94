namespace GapFlush.Tests.Scenes;

/// <summary>How the passes of a made scan share the points.</summary>
internal enum PassLayout
{
    /// <summary>Each pass looks from one angle and sees what faces it: either wall is seen by one pass alone.</summary>
    ByAngle,

    /// <summary>Every point that any pass can see is of a pass drawn for it: all passes see all.</summary>
    Interleaved,

    /// <summary>One pass after the other along the seam, each some decimetres of it, seeing what any angle sees.</summary>
    Strips,
}
