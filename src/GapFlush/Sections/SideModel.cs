using System.Runtime.CompilerServices;
using GapFlush.Numerics;

namespace GapFlush.Sections;

/// <summary>Distances of points from a side of a seam, and how they change with its parameters.</summary>
/// <remarks>METHOD.md, eq. 20 to 26. Distances are positive outside the material. All derivatives are closed forms, checked against differences (SideFitTests).</remarks>
internal sealed partial class SideModel
{
    private readonly double[] _p;
    private readonly bool _chamfer;
    private readonly double _k, _kSlope, _sinTurn, _cosTurn, _sin, _cos, _r, _cx, _cy, _tx, _ty;
    private readonly double _crX, _crY, _cdX, _cdY, _ckX, _ckY;
    private readonly double _aX, _aY, _nX, _nY, _chamferLength;
    private readonly double _tipX, _tipY;

    public SideModel(SideParameters parameters)
    {
        double[] p = _p = parameters.Values;
        _chamfer = parameters.IsChamfer;
        (_k, _kSlope) = (p[SideParameters.Curvature], p[SideParameters.Curvature + 1]);
        (_sinTurn, _cosTurn) = Math.SinCos(p[SideParameters.Turn]);
        (_sin, _cos) = Math.SinCos(p[SideParameters.Draft]);
        if (_chamfer)
        {
            // Ends of the chamfer; a skin is straight over its length as far as points can tell.
            (double a, double b) = (p[SideParameters.Break1], p[SideParameters.Break2]);
            (_aX, _aY) = (-a, -_k * a * a / 2);
            (_tipX, _tipY) = (-b * _sin, -b * _cos);
            (double dx, double dy) = (_tipX - _aX, _tipY - _aY);
            _chamferLength = Math.Sqrt(dx * dx + dy * dy);
            (_nX, _nY) = (-dy / _chamferLength, dx / _chamferLength);
            return;
        }
        _r = p[SideParameters.Break1];
        double root = Math.Sqrt(_cos * _cos - 2 * _k * _r * (1 + _sin)), down = 2 * _r * (1 + _sin) / (_cos + root), f = 2 * _k * down - 2 * _cos;
        (_cx, _cy) = (-_r * _cos - down * _sin, _r * _sin - down * _cos);
        (double nx, double ny) = (_k * _cx, _k * _cy + 1);
        double n = Math.Sqrt(nx * nx + ny * ny);
        (_tx, _ty) = (ny / n, -nx / n);
        double dr = -2 * (1 + _sin) / f, dk = -down * down / f, dd = -(2 * down * _sin + 2 * _r * _cos) / f;
        (_crX, _crY) = (-_cos - dr * _sin, _sin - dr * _cos);
        (_cdX, _cdY) = (_r * _sin - down * _cos - dd * _sin, _r * _cos + down * _sin - dd * _cos);
        (_ckX, _ckY) = (-dk * _sin, -dk * _cos);
    }

    /// <summary>Signed distance of a point, and its derivatives by all parameters.</summary>
    /// <returns>The distance, mm, and the part of the outline it is measured from.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]   // it is hot from the first call; waiting for the runtime to notice costs a second
    public (double Distance, PieceKind Piece) At(double s, double x, double y, Span<double> derivative)
    {
        double[] p = _p;
        double px = x - (p[0] + s * (p[1] + s * p[2])), py = y - (p[3] + s * (p[4] + s * p[5])), turn = p[6] + s * p[7];
        (double sin, double cos) = Math.SinCos(turn);
        double lx = cos * px + sin * py, ly = cos * py - sin * px;

        // Skin: a circle through the corner with tangent x; the form holds for a straight one too. The edge is placed by the curvature at the station:
        // over the run the change moves it by less than a ten-thousandth of a millimetre.
        double k = _k + s * _kSlope, q2 = lx * lx + ly * ly, big = k * q2 + 2 * ly, root = Math.Sqrt(Math.Max(1e-6, k * big + 1)), skin = big / (root + 1);
        double wall = lx * _cos - ly * _sin;

        PieceKind piece;
        double ax = 0, ay = 0, chamfer = 0;
        if (_chamfer)
        {
            chamfer = (lx - _aX) * _nX + (ly - _aY) * _nY;
            piece = chamfer >= skin && chamfer >= wall ? PieceKind.Edge : skin >= wall ? PieceKind.Skin : PieceKind.Wall;
        }
        else
        {
            (ax, ay) = (lx - _cx, ly - _cy);
            bool pastSkin = ax * _tx + ay * _ty >= 0, pastWall = -ax * _sin - ay * _cos > 0;
            piece = pastSkin && !pastWall ? PieceKind.Edge : !pastSkin && !pastWall ? PieceKind.Skin : pastSkin ? PieceKind.Wall : Math.Abs(skin) <= Math.Abs(wall) ? PieceKind.Skin : PieceKind.Wall;
        }

        double distance, gx, gy, dKappa = 0, dDraft = 0, d1 = 0, d2 = 0;
        switch (piece)
        {
            case PieceKind.Skin:
                distance = skin;
                double inverse = 1 / (root + 1);
                gx = (2 * k * lx - skin * k * k * lx / root) * inverse;
                gy = (2 * k * ly + 2 - skin * (k * k * ly + k) / root) * inverse;
                dKappa = (q2 - skin * (k * q2 + ly) / root) * inverse;
                break;
            case PieceKind.Wall:
                (distance, gx, gy) = (wall, _cos, -_sin);
                dDraft = -lx * _sin - ly * _cos;
                break;
            default:
                if (_chamfer)
                {
                    (distance, gx, gy) = (chamfer, _nX, _nY);
                    // Moving an end of the chamfer square to it by e moves the line at the point by e times the share of the way.
                    double share = ((lx - _aX) * _nY - (ly - _aY) * _nX) / _chamferLength;
                    double aX = -1, aY = -_k * p[SideParameters.Break1];
                    d1 = -(aX * _nX + aY * _nY) * (1 - share);
                    d2 = -(-_sin * _nX - _cos * _nY) * share;
                    double b = p[SideParameters.Break2];
                    dDraft = -(-b * _cos * _nX + b * _sin * _nY) * share;
                    dKappa = p[SideParameters.Break1] * p[SideParameters.Break1] / 2 * _nY * (1 - share);
                }
                else
                {
                    double far = Math.Sqrt(ax * ax + ay * ay);
                    distance = far - _r;
                    (gx, gy) = far > 1e-12 ? (ax / far, ay / far) : (_tx, _ty);
                    d1 = -1 - gx * _crX - gy * _crY;
                    dDraft = -gx * _cdX - gy * _cdY;
                    dKappa = -gx * _ckX - gy * _ckY;
                }
                break;
        }
        double dx = -(gx * cos - gy * sin), dy = -(gx * sin + gy * cos), df = gx * ly - gy * lx;
        derivative[0] = dx;
        derivative[1] = s * dx;
        derivative[2] = s * s * dx;
        derivative[3] = dy;
        derivative[4] = s * dy;
        derivative[5] = s * s * dy;
        derivative[6] = df;
        derivative[7] = s * df;
        derivative[8] = dKappa;
        derivative[9] = piece == PieceKind.Skin ? s * dKappa : 0;
        derivative[10] = dDraft;
        derivative[11] = d1;
        derivative[12] = d2;
        return (distance, piece);
    }

    /// <summary>Where a point's foot lies on the outline of its own section, and how far it is from there.</summary>
    /// <returns>The distance, mm; the piece; and the foot's place on it: own x on a skin, the angle of the normal on a radius, the share of a chamfer's length, depth along the wall.</returns>
    public (double Distance, PieceKind Piece, double Place) Foot(double s, double x, double y)
    {
        Span<double> foot = stackalloc double[4 * Lanes.Width];
        Feet([s], [x], [y], foot, Lanes.Width);
        PieceKind piece = (PieceKind)foot[Lanes.Width];
        return (foot[0], piece, Place(piece, foot[2 * Lanes.Width], foot[3 * Lanes.Width]));
    }

    /// <summary>The point at a distance over a foot: the inverse of <see cref="Foot"/>.</summary>
    public (double X, double Y) Over(double s, PieceKind piece, double place, double distance)
    {
        double lx, ly, nx, ny;
        switch (piece)
        {
            case PieceKind.Skin:
                double k = _k + s * _kSlope, rise = Math.Sqrt(Math.Max(0, 1 - k * k * place * place));
                (lx, ly, nx, ny) = (place, -k * place * place / (1 + rise), k * place, rise);
                break;
            case PieceKind.Wall:
                (lx, ly, nx, ny) = (-place * _sin, -place * _cos, _cos, -_sin);
                break;
            default:
                if (_chamfer) (lx, ly, nx, ny) = (_aX + place * (_tipX - _aX), _aY + place * (_tipY - _aY), _nX, _nY);
                else
                {
                    (ny, nx) = Math.SinCos(place);
                    (lx, ly) = (_cx + _r * nx, _cy + _r * ny);
                }
                break;
        }
        (lx, ly) = (lx + distance * nx, ly + distance * ny);
        double[] p = _p;
        (double sin, double cos) = Math.SinCos(p[6] + s * p[7]);
        return (p[0] + s * (p[1] + s * p[2]) + cos * lx - sin * ly, p[3] + s * (p[4] + s * p[5]) + cos * ly + sin * lx);
    }

    /// <summary>Own x at which the skin ends.</summary>
    public double SkinEnd => _chamfer ? _aX : _cx - _r * _ty;

    /// <summary>The place of <see cref="Foot"/> where the edge break meets the skin, and where it meets the wall.</summary>
    public (double AtSkin, double AtWall) EdgePlaces => _chamfer ? (0, 1) : (Math.Atan2(_tx, -_ty), -Math.Atan2(_sin, _cos));

    /// <summary>Length of the edge break, mm.</summary>
    public double EdgeLength => _chamfer ? _chamferLength : _r * Math.Abs(EdgePlaces.AtSkin - EdgePlaces.AtWall);

    /// <summary>Depth along the wall at which it starts, mm.</summary>
    public double WallStart => _chamfer ? _p[SideParameters.Break2] : -_cx * _sin - _cy * _cos;
}
