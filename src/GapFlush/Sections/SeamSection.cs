using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Sections;

/// <summary>Gap and flush between two outlines in one section, under every definition.</summary>
/// <remarks>
/// <para>Frame: origin at the end of the surround's skin, u along the surround's tangent there from surround to door, v outward. Gap is positive when
/// open, flush where the door stands proud.</para>
/// <para>Method: closed forms on lines and arcs; METHOD.md, eq. 6 to 16. A definition that the outlines do not reach is null, never 0.</para>
/// <para>Accuracy: 1e-9 mm against 60-digit closed forms (SeamSectionTests).</para>
/// <para>Source: definitions as in CONTRACT section 3; common practice, no single source.</para>
/// </remarks>
public sealed class SeamSection
{
    private readonly Outline _surround, _door;
    private readonly SectionParameters _parameters;
    private readonly Point2 _along, _out, _origin;
    private readonly (double U, Point2 At)? _surroundExtreme, _doorExtreme;

    /// <summary>Takes the section of two outlines.</summary>
    public SeamSection(Outline surround, Outline door, SectionParameters parameters)
    {
        (_surround, _door, _parameters) = (surround, door, parameters);
        (_along, _out, _origin) = (surround.Tangent, surround.Tangent.Turned(), surround.SkinEnd);
        (NearestMm, Point2 onSurround, Point2 onDoor) = Nearest();
        NearestPoints = (onSurround, onDoor);
        _surroundExtreme = Extreme(surround, +1);
        _doorExtreme = Extreme(door, -1);
    }

    /// <summary>Gap, nearest (G1): least distance between the outlines, mm; 0 where they cross.</summary>
    public double NearestMm { get; }

    /// <summary>Where the least distance is found.</summary>
    public (Point2 OnSurround, Point2 OnDoor) NearestPoints { get; }

    /// <summary>True where the outlines cut each other.</summary>
    public bool Interferes => NearestMm == 0;

    /// <summary>Direction of the least distance against the surround's tangent, rad, counter-clockwise; null where the outlines cross.</summary>
    public double? NearestAngleRad
    {
        get
        {
            Point2 d = NearestPoints.OnDoor - NearestPoints.OnSurround;
            return NearestMm == 0 ? null : Math.Atan2(d.Dot(_out), d.Dot(_along));
        }
    }

    /// <summary>The surround's edge extreme (X of the surround) along u, mm; null where nothing of it lies above the depth.</summary>
    public double? SurroundExtremeMm => _surroundExtreme?.U;

    /// <summary>The door's edge extreme along u, mm; null where nothing of it lies above the depth.</summary>
    public double? DoorExtremeMm => _doorExtreme?.U;

    /// <summary>Where the edge extremes lie in the section plane.</summary>
    public (Point2? Surround, Point2? Door) ExtremePoints => (_surroundExtreme?.At, _doorExtreme?.At);

    /// <summary>Gap, edge (G2), mm.</summary>
    public double? EdgeMm => _doorExtreme?.U - _surroundExtreme?.U;

    /// <summary>Gap, corner (G4), mm.</summary>
    public double CornerGapMm => U(_door.Corner) - U(_surround.Corner);

    /// <summary>Gap, skin-end (G5), mm.</summary>
    public double SkinEndGapMm => U(_door.SkinEnd) - U(_surround.SkinEnd);

    /// <summary>Set-back of the end of the surround's skin from its edge extreme, mm.</summary>
    public double? SurroundSkinEndSetBackMm => _surroundExtreme?.U - U(_surround.SkinEnd);

    /// <summary>Set-back of the end of the door's skin from its edge extreme, mm.</summary>
    public double? DoorSkinEndSetBackMm => U(_door.SkinEnd) - _doorExtreme?.U;

    /// <summary>Angle from the surround's tangent to the door's, rad, counter-clockwise.</summary>
    public double TiltRad => Math.Atan2(_door.Tangent.Dot(_out), _door.Tangent.Dot(_along));

    /// <summary>Flush, two-foot (F1), mm; null where a foot or the plunger finds no skin.</summary>
    public double? TwoFootMm
    {
        get
        {
            if (SkinPoint(_surround, SurroundExtremeMm - _parameters.NearFootMm) is not Point2 near) return null;
            if (SkinPoint(_surround, SurroundExtremeMm - _parameters.FarFootMm) is not Point2 far) return null;
            if (SkinPoint(_door, DoorExtremeMm + _parameters.SetBackMm) is not Point2 touched) return null;
            Point2 chord = near - far;
            return (1 / chord.Length * chord.Turned()).Dot(touched - near);
        }
    }

    /// <summary>Flush, mid-gap (F2), mm; null where an edge extreme is.</summary>
    public double? MidGapMm
    {
        get
        {
            if ((SurroundExtremeMm + DoorExtremeMm) / 2 is not double middle) return null;
            double slope = _door.Tangent.Dot(_out) / _door.Tangent.Dot(_along);
            return V(_door.SkinEnd) + slope * (middle - U(_door.SkinEnd));
        }
    }

    /// <summary>Flush, skin-end (F3), mm.</summary>
    public double SkinEndFlushMm => V(_door.SkinEnd) - V(_surround.SkinEnd);

    /// <summary>Flush, corner (F4), mm.</summary>
    public double CornerFlushMm => V(_door.Corner) - V(_surround.Corner);

    /// <summary>Flush, curve-carried (F5), mm; null where the plunger finds no skin.</summary>
    public double? CurveCarriedMm
    {
        get
        {
            if (SkinPoint(_door, DoorExtremeMm + _parameters.SetBackMm) is not Point2 touched) return null;
            if (_surround.SkinCentre is not Point2 centre) return V(touched);
            double k = _surround.Profile.SkinCurvaturePerMm;
            return Math.Sign(k) * (touched.DistanceTo(centre) - Math.Abs(1 / k));
        }
    }

    /// <summary>Gap, depth (G3): distance of the outlines at a depth below the surround's tangent, mm; null where one does not reach it.</summary>
    public double? AtDepthMm(double depthMm) => AtDepth(_door, depthMm, -1) - AtDepth(_surround, depthMm, +1);

    /// <summary>The gap under a definition, mm, or null where the outlines do not reach what it needs.</summary>
    /// <exception cref="ArgumentException">A gap at depth without a depth.</exception>
    public double? Gap(GapDefinition definition) => definition.Kind switch
    {
        GapKind.Nearest => NearestMm,
        GapKind.Edge => EdgeMm,
        GapKind.Depth => AtDepthMm(definition.DepthMm ?? throw new ArgumentException("A gap at depth needs its depth.", nameof(definition))),
        GapKind.Corner => CornerGapMm,
        _ => SkinEndGapMm,
    };

    /// <summary>The flush under a definition, mm, or null where the outlines do not reach what it needs.</summary>
    public double? Flush(FlushDefinition definition) => definition.Kind switch
    {
        FlushKind.TwoFoot => TwoFootMm,
        FlushKind.MidGap => MidGapMm,
        FlushKind.SkinEnd => SkinEndFlushMm,
        FlushKind.Corner => CornerFlushMm,
        _ => CurveCarriedMm,
    };

    /// <summary>Where the gap of a definition is taken; null where it has no value.</summary>
    internal SectionDimension? GapDimension(GapDefinition definition)
    {
        switch (definition.Kind)
        {
            case GapKind.Nearest:
                Point2 way = NearestPoints.OnDoor - NearestPoints.OnSurround;
                return way.Length > 0 ? new(NearestPoints.OnSurround, NearestPoints.OnDoor, 1 / way.Length * way) : null;
            case GapKind.Edge:
                return _surroundExtreme is (_, Point2 s) && _doorExtreme is (_, Point2 d) ? new(s, d, _along) : null;
            case GapKind.Depth:
                if (definition.DepthMm is not double depth || AtDepth(_surround, depth, +1) is not double a || AtDepth(_door, depth, -1) is not double b) return null;
                Point2 low = _origin - depth * _out;
                return new(low + a * _along, low + b * _along, _along);
            case GapKind.Corner:
                return new(_surround.Corner, _door.Corner, _along);
            default:
                return new(_surround.SkinEnd, _door.SkinEnd, _along);
        }
    }

    /// <summary>Where the flush of a definition is taken, with the skins carried on to there; null where it has no value.</summary>
    internal (SectionDimension? Dimension, IReadOnlyList<IReadOnlyList<Point2>> Carried) FlushDimension(FlushDefinition definition)
    {
        switch (definition.Kind)
        {
            case FlushKind.SkinEnd:
                return (new(_surround.SkinEnd, _door.SkinEnd, _out), []);
            case FlushKind.Corner:
                return (new(_surround.Corner, _door.Corner, _out), []);
            case FlushKind.MidGap:
                if ((SurroundExtremeMm + DoorExtremeMm) / 2 is not double middle || MidGapMm is not double height) return (null, []);
                Point2 from = _origin + middle * _along, to = from + height * _out;
                return (new(from, to, _out), [[_surround.SkinEnd, from], [_door.SkinEnd, to]]);
            case FlushKind.TwoFoot:
                if (SkinPoint(_surround, SurroundExtremeMm - _parameters.NearFootMm) is not Point2 near || SkinPoint(_surround, SurroundExtremeMm - _parameters.FarFootMm) is not Point2 far
                    || SkinPoint(_door, DoorExtremeMm + _parameters.SetBackMm) is not Point2 touched || TwoFootMm is not double step) return (null, []);
                Point2 chord = near - far, square = 1 / chord.Length * chord.Turned(), foot = touched - step * square;
                return (new(foot, touched, square), [[far, foot]]);
            default:
                if (SkinPoint(_door, DoorExtremeMm + _parameters.SetBackMm) is not Point2 met || CurveCarriedMm is not double carried) return (null, []);
                Point2 outward = _surround.SkinCentre is Point2 centre ? Math.Sign(_surround.Profile.SkinCurvaturePerMm) / met.DistanceTo(centre) * (met - centre) : _out;
                Point2 on = met - carried * outward;
                return (new(on, met, outward), [[_surround.SkinEnd, on]]);
        }
    }

    private double U(Point2 p) => (p - _origin).Dot(_along);

    private double V(Point2 p) => (p - _origin).Dot(_out);

    private (double, Point2, Point2) Nearest()
    {
        (double Distance, Point2 OnA, Point2 OnB) best = (double.PositiveInfinity, default, default);
        foreach (OutlinePiece a in _surround.Pieces)
        {
            foreach (OutlinePiece b in _door.Pieces)
            {
                (double Distance, Point2 OnA, Point2 OnB) found = OutlinePiece.Between(a, b);
                if (found.Distance < best.Distance) best = found;
            }
        }
        return best;
    }

    // Largest (towards +1) or smallest u among the points not deeper than the edge depth; there is no limit above the line.
    private (double U, Point2 At)? Extreme(Outline part, int towards)
    {
        double depth = _parameters.EdgeDepthMm;
        (double U, Point2 At)? best = null;
        foreach (OutlinePiece piece in part.Pieces)
        {
            Try(piece.From);
            Try(piece.To);
            if (double.IsFinite(depth))
            {
                Point2 low = _origin - depth * _out;
                foreach (double t in piece.HitsOf(low, _along)) Try(low + t * _along);
            }
            if (!piece.IsArc) continue;
            if (piece.Spans(_along)) Try(piece.Centre + piece.Radius * _along);
            if (piece.Spans(-1 * _along)) Try(piece.Centre - piece.Radius * _along);
        }
        return best;

        void Try(Point2 p)
        {
            // 1e-11 mm: a point that was put on the depth line lies within rounding of it.
            if (V(p) < -depth - 1e-11) return;
            double u = U(p);
            if (best is null || towards * u > towards * best.Value.U) best = (u, p);
        }
    }

    private double? AtDepth(Outline part, double depthMm, int towards)
    {
        Point2 low = _origin - depthMm * _out;
        double? best = null;
        foreach (OutlinePiece piece in part.Pieces)
        {
            foreach (double t in piece.HitsOf(low, _along))
            {
                if (best is null || towards * t > towards * best) best = t;
            }
        }
        return best;
    }

    private Point2? SkinPoint(Outline part, double? u)
    {
        if (u is null) return null;
        Point2 foot = _origin + u.Value * _along;
        double? highest = null;
        foreach (OutlinePiece piece in part.Pieces.Where(p => p.Kind == PieceKind.Skin))
        {
            foreach (double t in piece.HitsOf(foot, _out))
            {
                if (highest is null || t > highest) highest = t;
            }
        }
        return highest is double h ? foot + h * _out : null;
    }
}
