using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using GapFlush.Numerics;

namespace GapFlush.Sections;

// The distances of SideModel.cs four points at a time, for the many points of a scan; SideModelTests holds the two against one another.
internal sealed partial class SideModel
{
    /// <summary>Columns that <see cref="Rows"/> fills: the derivatives, the distance, and the piece as a number.</summary>
    public const int DistanceColumn = SideParameters.Count, PieceColumn = SideParameters.Count + 1, Columns = SideParameters.Count + 2;

    /// <summary>Distances of points and their derivatives by all parameters, as <see cref="At"/> gives them one by one.</summary>
    /// <param name="s">Along the seam; no more than <paramref name="stride"/> of them.</param>
    /// <param name="x">Own x.</param>
    /// <param name="y">Own y.</param>
    /// <param name="columns">One column after the other, each <paramref name="stride"/> long; what fills the last four up is a point like any other.</param>
    /// <param name="stride">Length of a column, a multiple of four.</param>
    public void Rows(ReadOnlySpan<double> s, ReadOnlySpan<double> x, ReadOnlySpan<double> y, Span<double> columns, int stride)
    {
        Local local = new(this);
        Vector256<double> zero = Vector256<double>.Zero, one = Vector256<double>.One, two = Vector256.Create(2.0);
        Vector256<double> ks = Vector256.Create(_kSlope), k0 = Vector256.Create(_k), sinDraft = Vector256.Create(_sin), cosDraft = Vector256.Create(_cos);
        Vector256<double> breakX = Vector256.Create(_chamfer ? _aX : _cx), breakY = Vector256.Create(_chamfer ? _aY : _cy);
        double b = _p[SideParameters.Break2], a = _p[SideParameters.Break1];
        for (int i = 0; i < s.Length; i += Lanes.Width)
        {
            Vector256<double> si = Lanes.Load(s, i);
            local.Of(si, Lanes.Load(x, i), Lanes.Load(y, i), out Vector256<double> lx, out Vector256<double> ly, out Vector256<double> sin, out Vector256<double> cos);
            Vector256<double> k = k0 + si * ks, q2 = lx * lx + ly * ly, big = k * q2 + two * ly;
            Vector256<double> root = Vector256.Sqrt(Vector256.Max(Vector256.Create(1e-6), k * big + one)), inverse = one / (root + one), skin = big * inverse, share = skin / root;
            Vector256<double> wall = lx * cosDraft - ly * sinDraft, ax = lx - breakX, ay = ly - breakY;
            // Skin, then the others where they are nearer.
            Vector256<double> steep = (two - share * k) * inverse, gx = k * lx * steep, gy = (k * ly + one) * steep, dCurvature = (q2 - share * (k * q2 + ly)) * inverse;
            Vector256<double> distance = skin, dDraft, d1, d2, isEdge, isWall;
            if (_chamfer)
            {
                Vector256<double> nx = Vector256.Create(_nX), ny = Vector256.Create(_nY), chamfer = ax * nx + ay * ny;
                isEdge = Vector256.GreaterThanOrEqual(chamfer, skin) & Vector256.GreaterThanOrEqual(chamfer, wall);
                isWall = Vector256.AndNot(Vector256.LessThan(skin, wall), isEdge);
                distance = Vector256.ConditionalSelect(isEdge, chamfer, distance);
                gx = Vector256.ConditionalSelect(isEdge, nx, gx);
                gy = Vector256.ConditionalSelect(isEdge, ny, gy);
                // Moving an end of the chamfer square to it by e moves the line at the point by e times the share of the way.
                Vector256<double> way = (ax * ny - ay * nx) * Vector256.Create(1 / _chamferLength), left = one - way;
                d1 = isEdge & (Vector256.Create(_nX + _k * a * _nY) * left);
                d2 = isEdge & (Vector256.Create(_sin * _nX + _cos * _nY) * way);
                dDraft = isEdge & (Vector256.Create(b * _cos * _nX - b * _sin * _nY) * way);
                dCurvature = Vector256.ConditionalSelect(isEdge, Vector256.Create(a * a / 2 * _nY) * left, dCurvature);
            }
            else
            {
                isEdge = Vector256.GreaterThanOrEqual(ax * Vector256.Create(_tx) + ay * Vector256.Create(_ty), zero);
                Vector256<double> pastWall = Vector256.LessThan(ax * sinDraft + ay * cosDraft, zero);
                isWall = pastWall & (isEdge | Vector256.GreaterThan(Vector256.Abs(skin), Vector256.Abs(wall)));
                isEdge = Vector256.AndNot(isEdge, pastWall);
                Vector256<double> far = Vector256.Sqrt(ax * ax + ay * ay), away = Vector256.GreaterThan(far, Vector256.Create(1e-12));
                Vector256<double> ux = Vector256.ConditionalSelect(away, ax / far, Vector256.Create(_tx)), uy = Vector256.ConditionalSelect(away, ay / far, Vector256.Create(_ty));
                distance = Vector256.ConditionalSelect(isEdge, far - Vector256.Create(_r), distance);
                gx = Vector256.ConditionalSelect(isEdge, ux, gx);
                gy = Vector256.ConditionalSelect(isEdge, uy, gy);
                d1 = isEdge & -(one + ux * Vector256.Create(_crX) + uy * Vector256.Create(_crY));
                d2 = zero;
                dDraft = isEdge & -(ux * Vector256.Create(_cdX) + uy * Vector256.Create(_cdY));
                dCurvature = Vector256.ConditionalSelect(isEdge, -(ux * Vector256.Create(_ckX) + uy * Vector256.Create(_ckY)), dCurvature);
            }
            distance = Vector256.ConditionalSelect(isWall, wall, distance);
            gx = Vector256.ConditionalSelect(isWall, cosDraft, gx);
            gy = Vector256.ConditionalSelect(isWall, -sinDraft, gy);
            dDraft = Vector256.ConditionalSelect(isWall, -(lx * sinDraft + ly * cosDraft), dDraft);
            dCurvature = Vector256.AndNot(dCurvature, isWall);

            Vector256<double> dx = gy * sin - gx * cos, dy = -(gx * sin + gy * cos), turn = gx * ly - gy * lx, sdx = si * dx, sdy = si * dy;
            Lanes.Put(dx, columns, i);
            Lanes.Put(sdx, columns, stride + i);
            Lanes.Put(si * sdx, columns, 2 * stride + i);
            Lanes.Put(dy, columns, 3 * stride + i);
            Lanes.Put(sdy, columns, 4 * stride + i);
            Lanes.Put(si * sdy, columns, 5 * stride + i);
            Lanes.Put(turn, columns, 6 * stride + i);
            Lanes.Put(si * turn, columns, 7 * stride + i);
            Lanes.Put(dCurvature, columns, 8 * stride + i);
            Lanes.Put(Vector256.AndNot(si * dCurvature, isEdge | isWall), columns, 9 * stride + i);
            Lanes.Put(dDraft, columns, 10 * stride + i);
            Lanes.Put(d1, columns, 11 * stride + i);
            Lanes.Put(d2, columns, 12 * stride + i);
            Lanes.Put(distance, columns, DistanceColumn * stride + i);
            Lanes.Put(Piece(isEdge, isWall), columns, PieceColumn * stride + i);
        }
    }

    /// <summary>Where the feet of points lie on the outline of their own sections, and how far the points are from there.</summary>
    /// <param name="s">Along the seam.</param>
    /// <param name="x">Own x.</param>
    /// <param name="y">Own y.</param>
    /// <param name="feet">Four columns of <paramref name="stride"/>: the distance, mm; the piece as a number; the foot's place on it (own x on a skin, the share of a chamfer's length, depth along
    /// the wall, and on a radius the x of the vector from its centre); and on a radius the y of that vector: the angle is only taken of the few points that need it.</param>
    /// <param name="stride">Length of a column, a multiple of four.</param>
    public void Feet(ReadOnlySpan<double> s, ReadOnlySpan<double> x, ReadOnlySpan<double> y, Span<double> feet, int stride)
    {
        Local local = new(this);
        Vector256<double> zero = Vector256<double>.Zero, one = Vector256<double>.One, two = Vector256.Create(2.0);
        Vector256<double> ks = Vector256.Create(_kSlope), k0 = Vector256.Create(_k), sinDraft = Vector256.Create(_sin), cosDraft = Vector256.Create(_cos);
        Vector256<double> breakX = Vector256.Create(_chamfer ? _aX : _cx), breakY = Vector256.Create(_chamfer ? _aY : _cy);
        for (int i = 0; i < s.Length; i += Lanes.Width)
        {
            Vector256<double> si = Lanes.Load(s, i);
            local.Of(si, Lanes.Load(x, i), Lanes.Load(y, i), out Vector256<double> lx, out Vector256<double> ly, out _, out _);
            Vector256<double> k = k0 + si * ks, big = k * (lx * lx + ly * ly) + two * ly, skin = big / (Vector256.Sqrt(Vector256.Max(Vector256.Create(1e-6), k * big + one)) + one);
            Vector256<double> wall = lx * cosDraft - ly * sinDraft, ax = lx - breakX, ay = ly - breakY, distance, place, isEdge, isWall;
            if (_chamfer)
            {
                Vector256<double> nx = Vector256.Create(_nX), ny = Vector256.Create(_nY);
                distance = ax * nx + ay * ny;
                isEdge = Vector256.GreaterThanOrEqual(distance, skin) & Vector256.GreaterThanOrEqual(distance, wall);
                isWall = Vector256.AndNot(Vector256.LessThan(skin, wall), isEdge);
                place = (ax * ny - ay * nx) * Vector256.Create(1 / _chamferLength);
            }
            else
            {
                isEdge = Vector256.GreaterThanOrEqual(ax * Vector256.Create(_tx) + ay * Vector256.Create(_ty), zero);
                Vector256<double> pastWall = Vector256.LessThan(ax * sinDraft + ay * cosDraft, zero);
                isWall = pastWall & (isEdge | Vector256.GreaterThan(Vector256.Abs(skin), Vector256.Abs(wall)));
                isEdge = Vector256.AndNot(isEdge, pastWall);
                distance = Vector256.Sqrt(ax * ax + ay * ay) - Vector256.Create(_r);
                place = ax;
            }
            distance = Vector256.ConditionalSelect(isEdge, distance, Vector256.ConditionalSelect(isWall, wall, skin));
            place = Vector256.ConditionalSelect(isEdge, place, Vector256.ConditionalSelect(isWall, -(lx * sinDraft + ly * cosDraft), lx / (one + k * skin)));
            Lanes.Put(distance, feet, i);
            Lanes.Put(Piece(isEdge, isWall), feet, stride + i);
            Lanes.Put(place, feet, 2 * stride + i);
            Lanes.Put(ay, feet, 3 * stride + i);
        }
    }

    /// <summary>The place on a piece from what <see cref="Feet"/> gave.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double Place(PieceKind piece, double place, double y) => piece == PieceKind.Edge && !_chamfer ? Math.Atan2(y, place) : place;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Piece(Vector256<double> isEdge, Vector256<double> isWall) => (isEdge & Vector256.Create((double)PieceKind.Edge)) + (isWall & Vector256.Create((double)PieceKind.Wall));

    // From the side's own axes to those of its section: origin at the corner there, x along the skin's tangent.
    private readonly struct Local(SideModel model)
    {
        private readonly Vector256<double> _x0 = Vector256.Create(model._p[0]), _x1 = Vector256.Create(model._p[1]), _x2 = Vector256.Create(model._p[2]);
        private readonly Vector256<double> _y0 = Vector256.Create(model._p[3]), _y1 = Vector256.Create(model._p[4]), _y2 = Vector256.Create(model._p[5]);
        private readonly Vector256<double> _turn1 = Vector256.Create(model._p[7]), _sinTurn = Vector256.Create(model._sinTurn), _cosTurn = Vector256.Create(model._cosTurn);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public void Of(Vector256<double> s, Vector256<double> x, Vector256<double> y, out Vector256<double> lx, out Vector256<double> ly, out Vector256<double> sin, out Vector256<double> cos)
        {
            Vector256<double> px = x - (_x0 + s * (_x1 + s * _x2)), py = y - (_y0 + s * (_y1 + s * _y2)), off = s * _turn1, o2 = off * off, one = Vector256<double>.One;
            // The turn along the run is small: series to the twelfth order are exact to 1e-15 at half a radian.
            Vector256<double> so = off * (one - o2 * (1.0 / 6) * (one - o2 * (1.0 / 20) * (one - o2 * (1.0 / 42) * (one - o2 * (1.0 / 72) * (one - o2 * (1.0 / 110))))));
            Vector256<double> co = one - o2 * 0.5 * (one - o2 * (1.0 / 12) * (one - o2 * (1.0 / 30) * (one - o2 * (1.0 / 56) * (one - o2 * (1.0 / 90) * (one - o2 * (1.0 / 132))))));
            cos = _cosTurn * co - _sinTurn * so;
            sin = _sinTurn * co + _cosTurn * so;
            lx = cos * px + sin * py;
            ly = cos * py - sin * px;
        }
    }
}
