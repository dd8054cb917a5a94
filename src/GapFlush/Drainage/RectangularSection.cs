namespace GapFlush.Drainage;

/// <summary>Flat floor, upright sides.</summary>
public sealed record RectangularSection : ChannelSection
{
    private readonly double _width;

    /// <summary>Makes a section of a width.</summary>
    /// <exception cref="ArgumentException">The width is not above zero.</exception>
    public RectangularSection(double width) => _width = Positive(width, nameof(width));

    /// <inheritdoc/>
    public override double Area(double depth) => _width * depth;

    /// <inheritdoc/>
    public override double WettedPerimeter(double depth) => _width + 2 * depth;

    /// <inheritdoc/>
    public override double TopWidth(double depth) => _width;

    /// <inheritdoc/>
    public override double FirstMoment(double depth) => _width * depth * depth / 2;

    /// <inheritdoc/>
    public override ChannelSection Scaled(double factor) => new RectangularSection(_width * factor);
}
