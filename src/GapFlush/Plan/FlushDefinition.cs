namespace GapFlush.Plan;

/// <summary>Which exact geometry a flush means. TRADE terms F1 to F5.</summary>
public enum FlushKind
{
    /// <summary>F1: a straight two-foot base on the surround, and a plunger on the door.</summary>
    TwoFoot,

    /// <summary>F2: both skin tangents carried to the middle of the gap.</summary>
    MidGap,

    /// <summary>F3: difference of the skin ends.</summary>
    SkinEnd,

    /// <summary>F4: difference of the virtual corners.</summary>
    Corner,

    /// <summary>F5: door point against the surround's own curve carried on.</summary>
    CurveCarried,
}

/// <summary>A flush definition with its parameters.</summary>
/// <param name="Kind">The geometry.</param>
/// <param name="NearFootMm">F1: set-back of the nearer foot from the surround's edge extreme, mm.</param>
/// <param name="FarFootMm">F1: set-back of the farther foot, mm.</param>
/// <param name="SetBackMm">F1 and F5: set-back of the touched point of the door from the door's edge extreme, mm.</param>
public sealed record FlushDefinition(FlushKind Kind, double? NearFootMm, double? FarFootMm, double? SetBackMm)
{
    /// <summary>The codes used in files, by kind.</summary>
    public static IReadOnlyDictionary<string, FlushKind> Codes { get; } = new Dictionary<string, FlushKind>
    {
        ["two-foot"] = FlushKind.TwoFoot,
        ["mid-gap"] = FlushKind.MidGap,
        ["skin-end"] = FlushKind.SkinEnd,
        ["corner"] = FlushKind.Corner,
        ["curve-carried"] = FlushKind.CurveCarried,
    };

    /// <summary>The code used in files.</summary>
    public string Code => Kind switch
    {
        FlushKind.TwoFoot => "two-foot",
        FlushKind.MidGap => "mid-gap",
        FlushKind.SkinEnd => "skin-end",
        FlushKind.Corner => "corner",
        FlushKind.CurveCarried => "curve-carried",
        _ => throw new ArgumentOutOfRangeException(nameof(Kind), Kind, "Flush is defined in one of the ways of Codes."),
    };
}
