namespace GapFlush.Drainage;

/// <summary>A closed circular pipe running part full: a drain tube.</summary>
public sealed record PipeSection : ChannelSection
{
    // Uniform flow goes as A^(5/3) P^(-2/3); greatest where 3 θ - 5 θ cos θ + 2 sin θ = 0, θ = 5.278107 rad, at (1 - cos(θ/2))/2 diameters.
    private const double MostFlowOverDiameter = 0.9381812161606071;

    private readonly double _radius;

    /// <summary>Makes a pipe of a bore radius.</summary>
    /// <exception cref="ArgumentException">The radius is not above zero.</exception>
    public PipeSection(double radius) => _radius = Positive(radius, nameof(radius));

    /// <inheritdoc/>
    public override double FullDepth => 2 * _radius;

    internal override double DepthOfMostFlow => 2 * _radius * MostFlowOverDiameter;

    /// <inheritdoc/>
    public override double Area(double depth) => CircleSegment.Area(_radius, depth);

    /// <inheritdoc/>
    public override double WettedPerimeter(double depth) => CircleSegment.Arc(_radius, depth);

    /// <inheritdoc/>
    public override double TopWidth(double depth) => CircleSegment.Chord(_radius, depth);

    /// <inheritdoc/>
    public override double FirstMoment(double depth) => CircleSegment.FirstMoment(_radius, depth);

    /// <inheritdoc/>
    public override ChannelSection Scaled(double factor) => new PipeSection(_radius * factor);
}
