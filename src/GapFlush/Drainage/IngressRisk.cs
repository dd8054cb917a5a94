namespace GapFlush.Drainage;

/// <summary>Water that stands or runs over beside a seal that presses too little, or of which it is not known.</summary>
/// <param name="Door">Door.</param>
/// <param name="Station">Station next to which the seal presses least there.</param>
/// <param name="Channel">Channel.</param>
/// <param name="Water">What the water does there, in words: "pond of 4.0 mL (3.1 mm deep at point 7 of S1-sill)".</param>
/// <param name="IsOverflow">True where the water runs over the lip, false where it only stands.</param>
/// <param name="CompressionPercent">Least compression of the seal beside the water, nearest to this station, per cent; null where it is not known.</param>
/// <param name="LeastPercent">Least compression allowed there, per cent; null where none is given.</param>
/// <param name="UncertaintyPercent">Expanded uncertainty of the compression (k = 2), per cent of free height; null where it is not known.</param>
/// <param name="IsPredicted">True where the compression was worked out from flush and plan, not from a reading of the seal's own gap.</param>
public sealed record IngressRisk(string Door, string Station, string Channel, string Water, bool IsOverflow, double? CompressionPercent, double? LeastPercent, double? UncertaintyPercent = null, bool IsPredicted = false)
{
    /// <summary>False where the compression or its least is not known, so that nothing can be said.</summary>
    public bool IsKnown => CompressionPercent is not null && LeastPercent is not null;

    /// <summary>True where the seal presses less than it must; false where it presses more, but by less than the uncertainty.</summary>
    public bool IsBelow => CompressionPercent < LeastPercent;

    /// <summary>False where the water is no deeper than the expanded uncertainty of its depth, or less than a drop: that any stands there is not proven.</summary>
    public bool IsWaterProven { get; init; } = true;

    /// <summary>True where water is proven to stand or run against a seal that presses less than it must.</summary>
    public bool IsRisk => IsKnown && IsBelow && IsWaterProven;

    /// <summary>The neighbour towards which the place of that compression lies; null where it is the station itself.</summary>
    public string? Towards { get; init; }

    /// <summary>Door and station as people say it: "S1-31", or "S1-31 towards 32" for a place between the two.</summary>
    public string Place => Towards is null ? $"{Door}-{Station}" : $"{Door}-{Station} towards {Towards}";
}
