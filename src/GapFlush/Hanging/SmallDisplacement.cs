using GapFlush.Geometry;

namespace GapFlush.Hanging;

/// <summary>A displacement of a rigid body so small that turns add up like vectors: three shifts and three turns about a stated point.</summary>
/// <remarks>At a turn of 0.005 rad (5 mm over 1 m) the neglected part is below 0.013 mm a metre from the point.</remarks>
/// <param name="TranslationMm">Shift of the point turned about, mm, in the plan's axes.</param>
/// <param name="RotationRad">Turn about each of the plan's axes, rad, right-handed.</param>
/// <param name="About">The point turned about, mm.</param>
public sealed record SmallDisplacement(Vector3 TranslationMm, Vector3 RotationRad, Point3 About)
{
    /// <summary>How a place of the body moves, mm: t + w × (p - c).</summary>
    public Vector3 At(Point3 place) => TranslationMm + RotationRad.Cross(place - About);

    /// <summary>The displacement that undoes this one: the adjustment to make.</summary>
    public SmallDisplacement Opposite => new(-TranslationMm, -RotationRad, About);

    /// <summary>The same displacement stated about another point.</summary>
    public SmallDisplacement StatedAbout(Point3 point) => new(At(point), RotationRad, point);

    /// <summary>Shifts and turns in words. (The text a record makes of itself would print <see cref="Opposite"/>, and that its own opposite, without end.)</summary>
    public override string ToString() => Invariant($"shift ({TranslationMm.X}, {TranslationMm.Y}, {TranslationMm.Z}) mm, turn ({RotationRad.X}, {RotationRad.Y}, {RotationRad.Z}) rad about ({About.X}, {About.Y}, {About.Z})");

    internal double this[int index] => index switch
    {
        0 => TranslationMm.X,
        1 => TranslationMm.Y,
        2 => TranslationMm.Z,
        3 => RotationRad.X,
        4 => RotationRad.Y,
        5 => RotationRad.Z,
        _ => throw new ArgumentOutOfRangeException(nameof(index), index, "A displacement has components 0 to 5."),
    };
}
