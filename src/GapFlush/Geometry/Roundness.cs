namespace GapFlush.Geometry;

/// <summary>Roundness of a closed profile in a plane under the four usual reference circles.</summary>
/// <remarks>
/// <para>Method: the places that have two points farthest, or two nearest, are straight pieces (the edges of the farthest and the nearest Voronoi diagram). Every crossing and every end of
/// such pieces is tried, so minimum zone, minimum circumscribed and maximum inscribed circle are exact up to rounding. METHOD.md, eq. 16 to 18. Work grows
/// with the cube of the number of points.</para>
/// <para>Centres farther than half the least-squares radius from the least-squares centre are not looked at: the profile is taken to go round its centre.</para>
/// <para>No answer (null): fewer than four points, no least-squares circle, or a profile that does not go round.</para>
/// <para>Accuracy: 1e-8 mm against rational arithmetic (FitsTests).</para>
/// <para>Source: ISO 12181-1 for the terms [not opened].</para>
/// </remarks>
/// <param name="LeastSquares">The least-squares circle; its <see cref="CircleFit.Spread"/> is the roundness about it.</param>
/// <param name="ZoneCentre">Centre of the narrowest ring that holds all points.</param>
/// <param name="OuterRadius">Outer radius of that ring, mm.</param>
/// <param name="InnerRadius">Inner radius of that ring, mm.</param>
/// <param name="OuterContacts">Points that the outer circle touches, by index.</param>
/// <param name="InnerContacts">Points that the inner circle touches, by index.</param>
/// <param name="Circumscribed">Smallest circle round all points.</param>
/// <param name="Inscribed">Largest circle inside the profile.</param>
public sealed record Roundness(CircleFit LeastSquares, Point2 ZoneCentre, double OuterRadius, double InnerRadius, IReadOnlyList<int> OuterContacts, IReadOnlyList<int> InnerContacts, CircleFit Circumscribed, CircleFit Inscribed)
{
    /// <summary>Width of the narrowest ring, mm: roundness by minimum zone.</summary>
    public double MinimumZone => OuterRadius - InnerRadius;

    /// <summary>Measures a profile.</summary>
    public static Roundness? Of(IReadOnlyList<Point2> points)
    {
        if (points.Count < 4 || CircleFit.Fit(points) is not CircleFit ls) return null;
        Point2[] p = [.. points.Select(q => q - ls.Centre)];
        double window = ls.Radius / 2;
        List<Piece> far = Pieces(p, window, nearest: false), near = Pieces(p, window, nearest: true);
        List<Point2> farEnds = [.. far.SelectMany(e => new[] { e.From, e.To })], nearEnds = [.. near.SelectMany(e => new[] { e.From, e.To })];
        List<Point2> candidates = [.. farEnds, .. nearEnds];
        foreach (Piece a in far)
        {
            foreach (Piece b in near)
            {
                if (Crossing(a, b) is Point2 x) candidates.Add(x);
            }
        }
        // The ring narrows without end towards far-off centres of an open profile; there the best centre sits on the window's rim.
        Point2? zone = Best(candidates, c => Far(c) - Near(c));
        Point2? circumscribed = Best([.. farEnds, .. far.Select(e => 0.5 * (p[e.A] + p[e.B]))], Far);
        Point2? inscribed = Best(nearEnds, c => -Near(c));
        if (zone is not Point2 z || circumscribed is not Point2 mc || inscribed is not Point2 mi || z.Length > 0.99 * window) return null;
        double outer = Far(z), inner = Near(z), touch = 1e-9 * ls.Radius;
        return new(ls, ls.Centre + z, outer, inner,
            [.. Enumerable.Range(0, p.Length).Where(i => p[i].DistanceTo(z) >= outer - touch)], [.. Enumerable.Range(0, p.Length).Where(i => p[i].DistanceTo(z) <= inner + touch)],
            CircleFit.Of(points, ls.Centre + mc, Far(mc)), CircleFit.Of(points, ls.Centre + mi, Near(mi)));

        double Far(Point2 c) => p.Max(q => q.DistanceTo(c));

        double Near(Point2 c) => p.Min(q => q.DistanceTo(c));

        static Point2? Best(List<Point2> candidates, Func<Point2, double> value) => candidates.Count == 0 ? null : candidates.MinBy(value);
    }

    // A piece of the middle line of two points on which both are the farthest (or nearest) of all.
    private readonly record struct Piece(int A, int B, Point2 From, Point2 To);

    private static List<Piece> Pieces(Point2[] p, double window, bool nearest)
    {
        List<Piece> pieces = [];
        for (int a = 0; a < p.Length; a++)
        {
            for (int b = a + 1; b < p.Length; b++)
            {
                Point2 d = p[b] - p[a];
                if (d.Length == 0) continue;
                Point2 middle = 0.5 * (p[a] + p[b]), along = 1 / d.Length * d.Turned();
                double reach = window * window - Math.Pow(middle.Cross(along), 2), foot = -middle.Dot(along);
                if (reach <= 0) continue;
                (double low, double high) = (foot - Math.Sqrt(reach), foot + Math.Sqrt(reach));
                for (int c = 0; c < p.Length && low <= high; c++)
                {
                    if (c == a || c == b) continue;
                    // |x - c|^2 - |x - a|^2 is linear along the line: value + slope t.
                    Point2 toC = p[c] - p[a];
                    double value = (p[c] - middle).Dot(p[c] - middle) - (p[a] - middle).Dot(p[a] - middle), slope = -2 * along.Dot(toC);
                    if (nearest) (value, slope) = (-value, -slope);   // keep where value + slope t <= 0
                    double slack = 1e-13 * window * window;
                    if (Math.Abs(slope) < 1e-300) { if (value > slack) high = double.NegativeInfinity; }
                    else if (slope > 0) high = Math.Min(high, (slack - value) / slope);
                    else low = Math.Max(low, (slack - value) / slope);
                }
                if (low <= high) pieces.Add(new(a, b, middle + low * along, middle + high * along));
            }
        }
        return pieces;
    }

    private static Point2? Crossing(Piece a, Piece b)
    {
        Point2 d = a.To - a.From, e = b.To - b.From, q = b.From - a.From;
        double det = d.Cross(e);
        if (det == 0) return null;
        double t = q.Cross(e) / det, s = q.Cross(d) / det;
        return t is >= 0 and <= 1 && s is >= 0 and <= 1 ? a.From + t * d : null;
    }
}
