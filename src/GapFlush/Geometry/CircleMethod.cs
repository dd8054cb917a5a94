namespace GapFlush.Geometry;

/// <summary>What a circle fit makes smallest.</summary>
public enum CircleMethod
{
    /// <summary>The sum of squared distances from the circle.</summary>
    Geometric,

    /// <summary>The sum of squared differences of squared radii (Kåsa): simple, and biased small on short arcs.</summary>
    Kasa,

    /// <summary>The algebraic fit under Pratt's constraint.</summary>
    Pratt,

    /// <summary>The algebraic fit under Taubin's constraint.</summary>
    Taubin,
}
