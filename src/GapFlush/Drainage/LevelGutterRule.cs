namespace GapFlush.Drainage;

/// <summary>Cross-section of a roof gutter as the rule of EN 12056-3 sorts them.</summary>
public enum GutterKind
{
    /// <summary>Half round or the like, at the eaves.</summary>
    HalfRound,

    /// <summary>Square sides, at the eaves.</summary>
    SquareSided,

    /// <summary>In a valley or behind a parapet.</summary>
    Valley,
}

/// <summary>What a level roof gutter carries by the rule of EN 12056-3: a cross-check, made for buildings, at the size of a door gutter no proof.</summary>
/// <remarks>
/// <para>Method: nominal capacity from the area, nine tenths of it for design, less for long gutters. Depth and shape factors are taken as 1. METHOD.md, eq. 20.</para>
/// <para>Source: EN 12056-3 clause 5 [coefficients from memory; standard not opened]; length factors from a rainwater supplier's notes on it.
/// The coefficients are 0.80 of the frictionless theory (<see cref="Theory"/>).</para>
/// </remarks>
/// <param name="NominalLPerS">Nominal capacity, L/s.</param>
/// <param name="LengthOverDepth">Length over depth, no unit.</param>
/// <param name="LengthFactor">What length takes away, 1 or less; null beyond 200 depths, where the table ends.</param>
public sealed record LevelGutterRule(double NominalLPerS, double LengthOverDepth, double? LengthFactor)
{
    private static readonly (double LengthOverDepth, double Factor)[] Table = [(50, 1.0), (100, 0.93), (150, 0.86), (200, 0.80)];

    /// <summary>Design capacity of a short gutter, L/s.</summary>
    public double ShortDesignLPerS => 0.9 * NominalLPerS;

    /// <summary>Design capacity at its length, L/s; null where the table has no factor.</summary>
    public double? DesignLPerS => ShortDesignLPerS * LengthFactor;

    /// <summary>Applies the rule.</summary>
    /// <param name="kind">Kind of gutter.</param>
    /// <param name="areaMm2">Area at full depth, mm².</param>
    /// <param name="lengthMm">Length to the outlet, mm.</param>
    /// <param name="depthMm">Depth, mm.</param>
    public static LevelGutterRule For(GutterKind kind, double areaMm2, double lengthMm, double depthMm)
    {
        double coefficient = kind switch { GutterKind.HalfRound => 2.78e-5, GutterKind.SquareSided => 3.48e-5, _ => 3.89e-5 };
        double ratio = lengthMm / depthMm;
        return new(coefficient * Math.Pow(areaMm2, 1.25), ratio, Factor(ratio));
    }

    /// <summary>What theory gives a level gutter without friction that collects evenly along its length and ends free, full at its head.</summary>
    /// <param name="section">The section, in any unit of length.</param>
    /// <param name="depth">Full depth, in that unit.</param>
    /// <param name="water">Properties of the water; at 20 °C where not given.</param>
    /// <returns>Head depth over critical depth at the end, and the coefficient of area^1.25, L/s with mm².</returns>
    public static (double HeadOverCriticalDepth, double Coefficient) Theory(ChannelSection section, double depth, Water? water = null)
    {
        // Momentum with critical flow at the end, where Q²/(g A) = A²/T.
        double Balance(double y)
        {
            double area = section.Area(y);
            return area * area / section.TopWidth(y) + section.FirstMoment(y) - section.FirstMoment(depth);
        }

        double end = Root.Between(Balance, depth * 1e-9, depth), endArea = section.Area(end);
        double flow = Math.Sqrt((water ?? Water.At20C).Gravity * endArea * endArea * endArea / section.TopWidth(end));
        // Flow goes as length^2.5, so the coefficient is the same in every unit but for the units themselves: m³/s per m^2.5 to L/s per mm^2.5.
        return (depth / end, flow / Math.Pow(section.Area(depth), 1.25) * 1000 * Math.Pow(1e-6, 1.25));
    }

    private static double? Factor(double ratio)
    {
        if (ratio <= Table[0].LengthOverDepth) return Table[0].Factor;
        for (int i = 1; i < Table.Length; i++)
        {
            ((double a, double fa), (double b, double fb)) = (Table[i - 1], Table[i]);
            if (ratio <= b) return fa + (fb - fa) * (ratio - a) / (b - a);
        }
        return null;
    }
}
