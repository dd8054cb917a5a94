namespace GapFlush.Plan;

/// <summary>Which exact geometry a gap means. TRADE terms G1 to G5.</summary>
public enum GapKind
{
    /// <summary>G1: least distance between the two outlines.</summary>
    Nearest,

    /// <summary>G2: distance of the edge extremes along the surround's tangent, looked for down to a depth.</summary>
    Edge,

    /// <summary>G3: distance of the walls at a set depth below the surround's tangent.</summary>
    Depth,

    /// <summary>G4: distance of the virtual corners.</summary>
    Corner,

    /// <summary>G5: distance of the skin ends.</summary>
    SkinEnd,
}

/// <summary>A gap definition with its parameter.</summary>
/// <param name="Kind">The geometry.</param>
/// <param name="DepthMm">For <see cref="GapKind.Edge"/>, how deep the edge extreme is looked for; for <see cref="GapKind.Depth"/>, the depth measured at; mm,
/// positive inboard. Null for the others, and for an edge that is looked for over the whole wall.</param>
public sealed record GapDefinition(GapKind Kind, double? DepthMm)
{
    /// <summary>The codes used in files, by kind.</summary>
    public static IReadOnlyDictionary<string, GapKind> Codes { get; } = new Dictionary<string, GapKind>
    {
        ["nearest"] = GapKind.Nearest,
        ["edge"] = GapKind.Edge,
        ["depth"] = GapKind.Depth,
        ["corner"] = GapKind.Corner,
        ["skin-end"] = GapKind.SkinEnd,
    };

    /// <summary>The code used in files.</summary>
    public string Code => Kind switch
    {
        GapKind.Nearest => "nearest",
        GapKind.Edge => "edge",
        GapKind.Depth => "depth",
        GapKind.Corner => "corner",
        GapKind.SkinEnd => "skin-end",
        _ => throw new ArgumentOutOfRangeException(nameof(Kind), Kind, "A gap is defined in one of the ways of Codes."),
    };
}
