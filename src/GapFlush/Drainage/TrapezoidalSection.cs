namespace GapFlush.Drainage;

/// <summary>Flat floor, two equally sloping sides.</summary>
public sealed record TrapezoidalSection : ChannelSection
{
    private readonly double _width, _side;

    /// <summary>Makes a section.</summary>
    /// <param name="width">Width of the floor.</param>
    /// <param name="sideSlope">Horizontal over vertical of either side; 0 is upright.</param>
    /// <exception cref="ArgumentException">The width is not above zero, or the side slope is negative.</exception>
    public TrapezoidalSection(double width, double sideSlope) => (_width, _side) = (Positive(width, nameof(width)), Positive(sideSlope, nameof(sideSlope), orZero: true));

    /// <inheritdoc/>
    public override double Area(double depth) => (_width + _side * depth) * depth;

    /// <inheritdoc/>
    public override double WettedPerimeter(double depth) => _width + 2 * depth * Math.Sqrt(1 + _side * _side);

    /// <inheritdoc/>
    public override double TopWidth(double depth) => _width + 2 * _side * depth;

    /// <inheritdoc/>
    public override double FirstMoment(double depth) => depth * depth * (_width / 2 + _side * depth / 3);

    /// <inheritdoc/>
    public override ChannelSection Scaled(double factor) => new TrapezoidalSection(_width * factor, _side);
}
