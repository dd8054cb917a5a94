namespace GapFlush.Drainage;

/// <summary>A half circle with upright walls above it.</summary>
public sealed record HalfRoundSection : ChannelSection
{
    private readonly double _radius;

    /// <summary>Makes a section of a radius.</summary>
    /// <exception cref="ArgumentException">The radius is not above zero.</exception>
    public HalfRoundSection(double radius) => _radius = Positive(radius, nameof(radius));

    /// <inheritdoc/>
    public override double Area(double depth) => depth <= _radius ? CircleSegment.Area(_radius, depth)
        : Math.PI * _radius * _radius / 2 + 2 * _radius * (depth - _radius);

    /// <inheritdoc/>
    public override double WettedPerimeter(double depth) => depth <= _radius ? CircleSegment.Arc(_radius, depth) : Math.PI * _radius + 2 * (depth - _radius);

    /// <inheritdoc/>
    public override double TopWidth(double depth) => depth <= _radius ? CircleSegment.Chord(_radius, depth) : 2 * _radius;

    /// <inheritdoc/>
    public override double FirstMoment(double depth)
    {
        if (depth <= _radius) return CircleSegment.FirstMoment(_radius, depth);
        double above = depth - _radius;
        return 2 * _radius * _radius * _radius / 3 + above * (Math.PI * _radius * _radius / 2 + _radius * above);
    }

    /// <inheritdoc/>
    public override ChannelSection Scaled(double factor) => new HalfRoundSection(_radius * factor);
}
