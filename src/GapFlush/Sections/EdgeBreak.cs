namespace GapFlush.Sections;

/// <summary>How the skin of a part turns into its return wall: a tangent radius (0 for a sharp edge) or a chamfer.</summary>
public sealed record EdgeBreak
{
    private EdgeBreak(double radiusMm, double alongSkinMm, double alongWallMm, bool isChamfer) =>
        (RadiusMm, AlongSkinMm, AlongWallMm, IsChamfer) = (radiusMm, alongSkinMm, alongWallMm, isChamfer);

    /// <summary>Radius, mm; 0 for a chamfer.</summary>
    public double RadiusMm { get; }

    /// <summary>Length of the chamfer along the skin, from the virtual corner, mm; 0 for a radius.</summary>
    public double AlongSkinMm { get; }

    /// <summary>Length of the chamfer along the wall, from the virtual corner, mm; 0 for a radius.</summary>
    public double AlongWallMm { get; }

    /// <summary>True for a chamfer.</summary>
    public bool IsChamfer { get; }

    /// <summary>A tangent radius, mm; 0 is a sharp edge.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The radius is negative or not a number.</exception>
    public static EdgeBreak Radius(double radiusMm)
    {
        if (!(radiusMm >= 0) || !double.IsFinite(radiusMm)) throw new ArgumentOutOfRangeException(nameof(radiusMm), radiusMm, "An edge radius is zero or more.");
        return new(radiusMm, 0, 0, false);
    }

    /// <summary>A chamfer, by its lengths from the virtual corner, mm.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A length is not above zero.</exception>
    public static EdgeBreak Chamfer(double alongSkinMm, double alongWallMm)
    {
        if (!(alongSkinMm > 0) || !double.IsFinite(alongSkinMm)) throw new ArgumentOutOfRangeException(nameof(alongSkinMm), alongSkinMm, "A chamfer has a length above zero.");
        if (!(alongWallMm > 0) || !double.IsFinite(alongWallMm)) throw new ArgumentOutOfRangeException(nameof(alongWallMm), alongWallMm, "A chamfer has a length above zero.");
        return new(0, alongSkinMm, alongWallMm, true);
    }
}
