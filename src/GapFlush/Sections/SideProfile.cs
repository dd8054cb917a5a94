using GapFlush.Geometry;

namespace GapFlush.Sections;

/// <summary>The shape of one side of a seam in a section square to it: skin, edge break and return wall.</summary>
/// <remarks>
/// <para>Own axes: origin at the virtual corner, where skin curve and wall line meet; x along the skin's tangent there, from the material
/// towards the gap; y outward. A door is the mirror image: its x axis points towards the surround.</para>
/// <para>METHOD.md, eq. 1 to 5.</para>
/// </remarks>
/// <param name="Break">Radius or chamfer.</param>
/// <param name="DraftRad">Draft of the wall, rad; positive where the wall leans away from the gap going inboard.</param>
/// <param name="SkinCurvaturePerMm">Curvature of the skin, 1/mm: positive where it is convex outward, 0 where it is straight.</param>
/// <param name="SkinLengthMm">How far the skin is followed from the virtual corner, mm.</param>
/// <param name="WallLengthMm">How far the wall is followed from the virtual corner, mm.</param>
public sealed record SideProfile(EdgeBreak Break, double DraftRad, double SkinCurvaturePerMm, double SkinLengthMm, double WallLengthMm)
{
    /// <summary>The point of the skin at a developed distance from the virtual corner, in own axes.</summary>
    internal Point2 SkinAt(double distanceMm)
    {
        double k = SkinCurvaturePerMm, angle = k * distanceMm;
        if (Math.Abs(angle) < 1e-9) return new(-distanceMm, -k * distanceMm * distanceMm / 2);
        double half = Math.Sin(angle / 2);
        return new(-Math.Sin(angle) / k, -2 * half * half / k);
    }

    /// <summary>Direction of the wall from the virtual corner, in own axes.</summary>
    internal Point2 WallDirection => new(-Math.Sin(DraftRad), -Math.Cos(DraftRad));

    /// <summary>Centre of the edge radius, its distance down the wall line, and the outward skin normal at its end; in own axes. Null where no such circle exists.</summary>
    internal (Point2 Centre, double DownWall, Point2 NormalAtEnd)? Fillet()
    {
        double r = Break.RadiusMm, k = SkinCurvaturePerMm;
        (double sin, double cos) = Math.SinCos(DraftRad);
        double root = cos * cos - 2 * k * r * (1 + sin);
        if (!(root >= 0)) return null;
        double down = 2 * r * (1 + sin) / (cos + Math.Sqrt(root));
        Point2 centre = r * new Point2(-cos, sin) + down * WallDirection;
        Point2 normal = new(k * centre.X, k * centre.Y + 1);
        return (centre, down, 1 / normal.Length * normal);
    }

    /// <summary>End of the skin (T) and start of the wall (W), in own axes.</summary>
    internal (Point2 SkinEnd, Point2 WallStart) Ends()
    {
        if (Break.IsChamfer) return (SkinAt(Break.AlongSkinMm), Break.AlongWallMm * WallDirection);
        if (Fillet() is not (Point2 centre, double down, Point2 normal)) throw new InvalidOperationException("No circle of the edge radius touches both skin and wall.");
        return (centre + Break.RadiusMm * normal, down * WallDirection);
    }
}
