namespace GapFlush.Plan;

/// <summary>The band a characteristic must lie in, ends included. A missing end is open.</summary>
public sealed record Limits
{
    /// <summary>Makes a band; both ends are in the unit of the characteristic.</summary>
    /// <exception cref="ArgumentException">No end is given, or the ends are out of order, equal, or not numbers.</exception>
    public Limits(double? lower, double? upper)
    {
        if (lower is null && upper is null)
            throw new ArgumentException("Limits need at least one end; give lower, upper or both.");
        if (!((lower ?? double.NegativeInfinity) < (upper ?? double.PositiveInfinity)))   // this way round NaN fails too
            throw new ArgumentException(Invariant($"Lower limit {lower} must be below upper limit {upper}."), nameof(lower));
        (Lower, Upper) = (lower, upper);
    }

    /// <summary>The lower end, or null where the band is open below.</summary>
    public double? Lower { get; }

    /// <summary>The upper end, or null where the band is open above.</summary>
    public double? Upper { get; }

    /// <summary>Upper minus lower, or null where an end is open.</summary>
    public double? Width => Upper - Lower;

    /// <summary>By how much a value lies beyond the nearer violated limit; 0 inside the band.</summary>
    public double Excess(double value) => Math.Max(0, Math.Max((Lower ?? double.NegativeInfinity) - value, value - (Upper ?? double.PositiveInfinity)));
}
