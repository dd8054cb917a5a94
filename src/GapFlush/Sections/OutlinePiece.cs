using GapFlush.Geometry;

namespace GapFlush.Sections;

/// <summary>Which part of an outline a piece is.</summary>
public enum PieceKind
{
    /// <summary>The outer skin.</summary>
    Skin,

    /// <summary>The edge break: radius or chamfer.</summary>
    Edge,

    /// <summary>The return wall.</summary>
    Wall,
}

/// <summary>A straight line or a circular arc of an outline, from <see cref="From"/> to <see cref="To"/>.</summary>
/// <remarks>An arc goes the short way round. Distances and crossings are closed forms.</remarks>
internal sealed class OutlinePiece
{
    private const double Slack = 1e-12;   // of an angle or of a share of a line: an end belongs to its piece although rounding moves it
    private readonly double _start, _sweep;

    private OutlinePiece(PieceKind kind, Point2 from, Point2 to, Point2 centre, double radius)
    {
        (Kind, From, To, Centre, Radius) = (kind, from, to, centre, radius);
        if (radius <= 0) return;
        _start = Math.Atan2(from.Y - centre.Y, from.X - centre.X);
        _sweep = Wrapped(Math.Atan2(to.Y - centre.Y, to.X - centre.X) - _start);
    }

    public PieceKind Kind { get; }

    public Point2 From { get; }

    public Point2 To { get; }

    public Point2 Centre { get; }

    /// <summary>Radius, mm; 0 for a straight line.</summary>
    public double Radius { get; }

    public bool IsArc => Radius > 0;

    public static OutlinePiece Line(PieceKind kind, Point2 from, Point2 to) => new(kind, from, to, default, 0);

    public static OutlinePiece Arc(PieceKind kind, Point2 centre, double radius, Point2 from, Point2 to) => new(kind, from, to, centre, radius);

    public OutlinePiece Shifted(Point2 by) => new(Kind, From + by, To + by, Centre + by, Radius);

    /// <summary>True when the direction from the arc's centre lies inside the arc.</summary>
    public bool Spans(Point2 direction)
    {
        double x = Wrapped(Math.Atan2(direction.Y, direction.X) - _start);
        return _sweep >= 0 ? x >= -Slack && x <= _sweep + Slack : x <= Slack && x >= _sweep - Slack;
    }

    public Point2 NearestTo(Point2 p)
    {
        if (!IsArc)
        {
            Point2 d = To - From;
            double t = Math.Clamp((p - From).Dot(d) / d.Dot(d), 0, 1);
            return From + t * d;
        }
        Point2 r = p - Centre;
        double n = r.Length;
        if (n > 0 && Spans(r)) return Centre + Radius / n * r;
        return p.DistanceTo(From) <= p.DistanceTo(To) ? From : To;
    }

    /// <summary>Distances along the unit <paramref name="direction"/> from <paramref name="origin"/> at which the line meets this piece; up to two.</summary>
    public IEnumerable<double> HitsOf(Point2 origin, Point2 direction)
    {
        if (!IsArc)
        {
            Point2 e = To - From, q = From - origin;
            double det = direction.Cross(e);
            if (det == 0) yield break;
            double along = q.Cross(direction) / det;
            if (along >= -Slack && along <= 1 + Slack) yield return q.Cross(e) / det;
            yield break;
        }
        Point2 o = origin - Centre;
        double b = o.Dot(direction), h = o.Cross(direction), d = (Radius - h) * (Radius + h);
        if (d < 0) yield break;
        double root = Math.Sqrt(d);
        // A root near b would cancel; the product of the two is o.o - r^2.
        double c = (o.Length - Radius) * (o.Length + Radius);
        double far = b >= 0 ? -b - root : -b + root, near = far == 0 ? 0 : c / far;
        if (Spans(origin + far * direction - Centre)) yield return far;
        if (near != far && Spans(origin + near * direction - Centre)) yield return near;
    }

    /// <summary>Least distance between two pieces, and the points at which it is found; 0 where they cross.</summary>
    public static (double Distance, Point2 OnA, Point2 OnB) Between(OutlinePiece a, OutlinePiece b)
    {
        if (Crossing(a, b) is Point2 common) return (0, common, common);
        (double Distance, Point2 OnA, Point2 OnB) best = (double.PositiveInfinity, default, default);
        Try(a.From, b.NearestTo(a.From));
        Try(a.To, b.NearestTo(a.To));
        Try(a.NearestTo(b.From), b.From);
        Try(a.NearestTo(b.To), b.To);
        if (a.IsArc && b.IsArc)
        {
            Point2 d = b.Centre - a.Centre;
            double n = d.Length;
            for (int k = 0; n > 0 && k < 4; k++)
            {
                double sa = (k & 1) == 0 ? 1 : -1, sb = (k & 2) == 0 ? 1 : -1;
                if (a.Spans(sa * d) && b.Spans(sb * d)) Try(a.Centre + sa * a.Radius / n * d, b.Centre + sb * b.Radius / n * d);
            }
        }
        else if (a.IsArc || b.IsArc)
        {
            (OutlinePiece arc, OutlinePiece line) = a.IsArc ? (a, b) : (b, a);
            Point2 d = line.To - line.From;
            double t = (arc.Centre - line.From).Dot(d) / d.Dot(d);
            Point2 foot = line.From + t * d, v = foot - arc.Centre;
            double n = v.Length;
            for (int k = 0; t is >= 0 and <= 1 && n > 0 && k < 2; k++)
            {
                double sign = k == 0 ? 1 : -1;
                if (!arc.Spans(sign * v)) continue;
                Point2 p = arc.Centre + sign * arc.Radius / n * v;
                if (a.IsArc) Try(p, foot);
                else Try(foot, p);
            }
        }
        return best;

        void Try(Point2 p, Point2 q)
        {
            double distance = p.DistanceTo(q);
            if (distance < best.Distance) best = (distance, p, q);
        }
    }

    private static Point2? Crossing(OutlinePiece a, OutlinePiece b)
    {
        if (a.IsArc && b.IsArc)
        {
            Point2 d = b.Centre - a.Centre;
            double n = d.Length;
            if (n == 0 || n > a.Radius + b.Radius || n < Math.Abs(a.Radius - b.Radius)) return null;
            double x = (n + (a.Radius - b.Radius) * (a.Radius + b.Radius) / n) / 2, y = Math.Sqrt(Math.Max((a.Radius - x) * (a.Radius + x), 0));
            for (int sign = 1; sign >= -1; sign -= 2)
            {
                Point2 p = a.Centre + x / n * d + sign * y / n * d.Turned();
                if (a.Spans(p - a.Centre) && b.Spans(p - b.Centre)) return p;
            }
            return null;
        }
        (OutlinePiece other, OutlinePiece line) = a.IsArc ? (a, b) : (b, a);
        Point2 along = line.To - line.From;
        double length = along.Length;
        if (length == 0) return null;
        along = 1 / length * along;
        foreach (double t in other.HitsOf(line.From, along))
        {
            if (t >= -Slack && t <= length + Slack) return line.From + t * along;
        }
        return null;
    }

    private static double Wrapped(double angle) => angle - 2 * Math.PI * Math.Round(angle / (2 * Math.PI));
}
