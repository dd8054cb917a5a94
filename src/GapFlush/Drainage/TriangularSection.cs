namespace GapFlush.Drainage;

/// <summary>Two sloping sides that meet at the bottom.</summary>
public sealed record TriangularSection : ChannelSection
{
    private readonly double _left, _right;

    /// <summary>Makes a section; each side is horizontal over vertical.</summary>
    /// <exception cref="ArgumentException">A side slope is negative, or both are zero.</exception>
    public TriangularSection(double leftSide, double rightSide)
    {
        (_left, _right) = (Positive(leftSide, nameof(leftSide), orZero: true), Positive(rightSide, nameof(rightSide), orZero: true));
        _ = Positive(leftSide + rightSide, nameof(leftSide));
    }

    /// <inheritdoc/>
    public override double Area(double depth) => (_left + _right) * depth * depth / 2;

    /// <inheritdoc/>
    public override double WettedPerimeter(double depth) => depth * (Math.Sqrt(1 + _left * _left) + Math.Sqrt(1 + _right * _right));

    /// <inheritdoc/>
    public override double TopWidth(double depth) => (_left + _right) * depth;

    /// <inheritdoc/>
    public override double FirstMoment(double depth) => (_left + _right) * depth * depth * depth / 6;

    /// <inheritdoc/>
    public override ChannelSection Scaled(double factor) => this;
}
