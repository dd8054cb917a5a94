namespace GapFlush.Plan.Files;

/// <summary>Reads the gap and flush definition of a door and the parameters that go with them.</summary>
/// <remarks>Flush by two feet or against the carried curve depends on where feet and plunger stand, so a plan should say so. Where it does not, the distances of a small step gauge are taken
/// and told in a notice.</remarks>
internal static class DefinitionKeys
{
    // A bridge gauge with a 20 mm base that starts 5 mm from the edge, its plunger 5 mm behind the door's edge, clear of the edge radii [common practice, no source].
    private const double UsualNearFootMm = 5, UsualBaseMm = 20, UsualSetBackMm = 5;

    /// <summary>The gap definition: <c>edge</c> unless another is named.</summary>
    public static GapDefinition Gap(PlanObject door)
    {
        GapKind kind = door.Word("gap_definition", GapDefinition.Codes) ?? GapKind.Edge;
        string code = GapDefinition.Codes.First(c => c.Value == kind).Key;
        double? edgeDepth = Parameter(door, "edge_depth_mm", "gap", code, kind == GapKind.Edge, required: false);
        double? depth = Parameter(door, "depth_mm", "gap", code, kind == GapKind.Depth, required: true);
        return new(kind, kind switch { GapKind.Edge => edgeDepth, GapKind.Depth => depth, _ => null });
    }

    /// <summary>The flush definition: <c>mid-gap</c> unless another is named.</summary>
    public static FlushDefinition Flush(PlanObject door)
    {
        FlushKind kind = door.Word("flush_definition", FlushDefinition.Codes) ?? FlushKind.MidGap;
        string code = FlushDefinition.Codes.First(c => c.Value == kind).Key;
        bool feet = kind == FlushKind.TwoFoot, setBack = kind is FlushKind.TwoFoot or FlushKind.CurveCarried;
        double? near = Parameter(door, "near_foot_mm", "flush", code, feet, required: false) ?? Usual(door, "near_foot_mm", feet, UsualNearFootMm);
        double? far = Parameter(door, "far_foot_mm", "flush", code, feet, required: false) ?? Usual(door, "far_foot_mm", feet, near + UsualBaseMm);
        double? back = Parameter(door, "set_back_mm", "flush", code, setBack, required: false) ?? Usual(door, "set_back_mm", setBack, UsualSetBackMm);
        if (feet && near >= far) door.Refuse("far_foot_mm", Invariant($"a set-back beyond near_foot_mm ({near})"), "Both are measured from the surround's edge; give the farther foot the larger number.");
        return new(kind, feet ? near : null, feet ? far : null, setBack ? back : null);
    }

    private static double? Usual(PlanObject door, string key, bool used, double? usualMm)
    {
        if (!used || door.Has(key) || usualMm is null) return null;
        door.Notice(key, Invariant($"not given; {usualMm} mm is taken (common practice, no source). Write what your gauge has: the number is part of what flush means."));
        return usualMm;
    }

    private static double? Parameter(PlanObject door, string key, string what, string code, bool used, bool required)
    {
        double? value = door.Number(key, NumberRange.Positive);
        if (used && required && !door.Has(key))
            door.Refuse(key, $"this key, which {what}_definition '{code}' needs", $"Add \"{key}\" in millimetres, or choose another {what}_definition.");
        if (!used && door.Has(key)) door.Notice(key, $"not used by {what}_definition '{code}'.");
        return value;
    }
}
