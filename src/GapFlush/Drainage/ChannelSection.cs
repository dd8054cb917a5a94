using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>The cross-section of a channel, filled to a depth.</summary>
/// <remarks>
/// <para>Frame: depth is measured up from the lowest line of the floor. Lengths may be in any one unit; areas are then in its square.</para>
/// <para>Source: elementary geometry, METHOD.md table 1; V. T. Chow, Open-Channel Hydraulics (1959), table 2-1 [from memory].</para>
/// <para>Accuracy: 1e-12 relative or better against 40-digit arithmetic (reference groups <c>manning</c>, <c>manning_published</c>, <c>gutters</c>).</para>
/// </remarks>
public abstract record ChannelSection
{
    /// <summary>Area of water at a depth.</summary>
    public abstract double Area(double depth);

    /// <summary>Length of wall that the water touches at a depth.</summary>
    public abstract double WettedPerimeter(double depth);

    /// <summary>Width of the water's surface at a depth.</summary>
    public abstract double TopWidth(double depth);

    /// <summary>First moment of the area about the water's surface; also the integral of the area from no depth to this one.</summary>
    public abstract double FirstMoment(double depth);

    /// <summary>The same section with every length multiplied.</summary>
    public abstract ChannelSection Scaled(double factor);

    /// <summary>Depth at which the section is full; infinite where the sides go on.</summary>
    public virtual double FullDepth => double.PositiveInfinity;

    /// <summary>Depth at which uniform flow is greatest: the full depth, but a little less in a closed pipe.</summary>
    internal virtual double DepthOfMostFlow => FullDepth;

    /// <summary>Area over wetted perimeter; 0 at no depth.</summary>
    public double HydraulicRadius(double depth) => depth > 0 ? Area(depth) / WettedPerimeter(depth) : 0;

    /// <summary>Water over a stretch of floor along which the depth runs straight from one value to another, the section square to the run.</summary>
    /// <param name="runLength">Horizontal length of the stretch.</param>
    /// <param name="depthA">Depth at one end, not negative.</param>
    /// <param name="depthB">Depth at the other end, not negative.</param>
    /// <returns>Volume, in the cube of the unit of length.</returns>
    public double Volume(double runLength, double depthA, double depthB)
    {
        double low = Math.Min(depthA, depthB), high = Math.Max(depthA, depthB);
        if (runLength <= 0 || high <= 0) return 0;
        // Exact: area integrated over depth. Where the depths are close the difference would cancel, and Simpson's rule errs less than rounding.
        if (high - low > 1e-2 * high) return runLength * (FirstMoment(high) - FirstMoment(low)) / (high - low);
        return runLength * (Area(low) + 4 * Area((low + high) / 2) + Area(high)) / 6;
    }

    /// <summary>The section that a row of the plan asks for, lengths in mm.</summary>
    /// <returns>Null where the row lacks a size it needs; <paramref name="missing"/> then names the column.</returns>
    public static ChannelSection? For(ChannelPoint point, out string? missing)
    {
        missing = null;
        switch (point.Shape)
        {
            case ChannelShape.Rectangular when point.WidthMm is double width:
                return new RectangularSection(width);
            case ChannelShape.Trapezoidal when point.WidthMm is double width && point.SideSlope is double side:
                return new TrapezoidalSection(width, side);
            case ChannelShape.Triangular when point.SideSlope is double side:
                return new TriangularSection(side, side);
            case ChannelShape.Triangular when point.WidthMm is double top && point.DepthMm is double depth:
                return new TriangularSection(top / (2 * depth), top / (2 * depth));
            case ChannelShape.HalfRound when point.WidthMm is double diameter:
                return new HalfRoundSection(diameter / 2);
        }
        missing = point.Shape switch
        {
            ChannelShape.Triangular => "side_slope",
            ChannelShape.Trapezoidal when point.WidthMm is not null => "side_slope",
            _ => "width",
        };
        return null;
    }

    private protected static double Positive(double value, string name, bool orZero = false) =>
        double.IsFinite(value) && (value > 0 || (orZero && value == 0)) ? value
        : throw new ArgumentException(Invariant($"{name} must be a number above zero, not {value}."), name);
}
