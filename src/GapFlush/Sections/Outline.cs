using GapFlush.Geometry;

namespace GapFlush.Sections;

/// <summary>The outline of one side of a seam, placed in the section plane (u from surround to door, v outward; mm).</summary>
public sealed class Outline
{
    private readonly OutlinePiece[] _pieces;

    private Outline(SideProfile profile, OutlinePiece[] pieces, Point2 corner, Point2 skinEnd, Point2 wallStart, Point2 tangent, Point2? skinCentre) =>
        (Profile, _pieces, Corner, SkinEnd, WallStart, Tangent, SkinCentre) = (profile, pieces, corner, skinEnd, wallStart, tangent, skinCentre);

    /// <summary>The shape.</summary>
    public SideProfile Profile { get; }

    /// <summary>Virtual corner (C): where the skin curve and the wall line meet.</summary>
    public Point2 Corner { get; }

    /// <summary>End of the skin (T): where the edge break starts.</summary>
    public Point2 SkinEnd { get; }

    /// <summary>Start of the wall (W): where the edge break ends.</summary>
    public Point2 WallStart { get; }

    /// <summary>Unit tangent of the skin at its end, pointing from surround to door.</summary>
    public Point2 Tangent { get; }

    /// <summary>Centre of the skin's curvature, or null where the skin is straight.</summary>
    public Point2? SkinCentre { get; }

    internal IReadOnlyList<OutlinePiece> Pieces => _pieces;

    /// <summary>Places a shape.</summary>
    /// <param name="profile">The shape.</param>
    /// <param name="isDoor">True for the door: its shape is mirrored, so that it faces the surround.</param>
    /// <param name="corner">Where its virtual corner lies.</param>
    /// <param name="turnRad">Turn about the virtual corner, counter-clockwise, rad. With none, the skin's tangent at the corner lies along u.</param>
    /// <exception cref="ArgumentException">The shape does not exist: its radius fits nowhere between skin and wall, or skin or wall is shorter than the edge break.</exception>
    public static Outline Place(SideProfile profile, bool isDoor, Point2 corner, double turnRad)
    {
        double k = profile.SkinCurvaturePerMm;
        if (!profile.Break.IsChamfer && profile.Fillet() is null)
            throw new ArgumentException(Invariant($"An edge radius of {profile.Break.RadiusMm} mm touches no skin of curvature {k} 1/mm and wall of draft {profile.DraftRad} rad."), nameof(profile));
        (Point2 skinEnd, Point2 wallStart) = profile.Ends();
        Point2 far = profile.SkinAt(profile.SkinLengthMm), tip = profile.WallLengthMm * profile.WallDirection;
        if (!(profile.SkinLengthMm > 0) || !(profile.WallLengthMm > 0) || far.X >= skinEnd.X || wallStart.Length >= profile.WallLengthMm)
            throw new ArgumentException(Invariant($"A skin of {profile.SkinLengthMm} mm and a wall of {profile.WallLengthMm} mm must both reach past the edge break."), nameof(profile));

        (double sin, double cos) = Math.SinCos(turnRad);
        double side = isDoor ? -1 : 1;
        Point2 Placed(Point2 p) => new(cos * side * p.X - sin * p.Y + corner.X, sin * side * p.X + cos * p.Y + corner.Y);

        // Beyond a radius of 1e9 mm a skin departs from its tangent by less than 1e-6 mm over 40 mm; as a circle, rounding at its centre would cost as much.
        bool straight = Math.Abs(k) < 1e-9;
        Point2? centre = straight ? null : Placed(new(0, -1 / k));
        List<OutlinePiece> pieces = [];
        pieces.Add(centre is Point2 c ? OutlinePiece.Arc(PieceKind.Skin, c, Math.Abs(1 / k), Placed(far), Placed(skinEnd)) : OutlinePiece.Line(PieceKind.Skin, Placed(far), Placed(skinEnd)));
        if (profile.Break.IsChamfer) pieces.Add(OutlinePiece.Line(PieceKind.Edge, Placed(skinEnd), Placed(wallStart)));
        else if (profile.Break.RadiusMm > 0) pieces.Add(OutlinePiece.Arc(PieceKind.Edge, Placed(profile.Fillet()!.Value.Centre), profile.Break.RadiusMm, Placed(skinEnd), Placed(wallStart)));
        pieces.Add(OutlinePiece.Line(PieceKind.Wall, Placed(wallStart), Placed(tip)));

        Point2 normal = new(k * skinEnd.X, k * skinEnd.Y + 1);   // outward, in own axes
        normal = 1 / normal.Length * normal;
        Point2 along = new(normal.Y, -normal.X);                  // own x axis: towards the gap
        Point2 tangent = side * (Placed(along) - corner);
        return new(profile, [.. pieces], corner, Placed(skinEnd), Placed(wallStart), tangent, centre);
    }

    /// <summary>The same outline elsewhere in the section plane.</summary>
    public Outline Shifted(Point2 by) =>
        new(Profile, [.. _pieces.Select(p => p.Shifted(by))], Corner + by, SkinEnd + by, WallStart + by, Tangent, SkinCentre + by);

    /// <summary>The nearest point of the outline.</summary>
    public Point2 NearestTo(Point2 p) => _pieces.Select(q => q.NearestTo(p)).MinBy(q => q.DistanceTo(p));
}
