namespace GapFlush.Geometry;

/// <summary>Straightness of a profile in a plane: the width of the narrowest strip that holds all its points.</summary>
/// <remarks>
/// <para>Method: the narrowest strip lies along an edge of the convex hull; every edge is tried, so the answer is exact up to rounding. METHOD.md, eq. 15.</para>
/// <para>No answer (null): fewer than two different points.</para>
/// <para>Accuracy: 1e-8 mm against rational arithmetic (FitsTests).</para>
/// <para>Source: ISO 12780-1 for the term [not opened]; M. E. Houle and G. T. Toussaint, IEEE PAMI 10 (1988) 761 [from memory].</para>
/// </remarks>
/// <param name="Width">Width of the narrowest strip, mm.</param>
/// <param name="Edge">The two points that one side of the strip touches, by index.</param>
/// <param name="Opposite">The point that the other side touches, by index.</param>
/// <param name="Slope">Slope of the strip, dy/dx; infinite where it is upright.</param>
/// <param name="LeastSquaresSpread">Spread about the orthogonal least-squares line, mm; null where it has no direction. Never less than the width.</param>
/// <param name="EndPointSpread">Spread about the line through first and last point, mm; null where they coincide.</param>
/// <param name="VerticalSpread">Least height, along y, of a strip that holds all points, mm; null where all have one x.</param>
/// <param name="VerticalSlope">Slope of that strip.</param>
public sealed record Straightness(double Width, (int First, int Second) Edge, int Opposite, double Slope, double? LeastSquaresSpread, double? EndPointSpread, double? VerticalSpread, double? VerticalSlope)
{
    /// <summary>Measures a profile.</summary>
    public static Straightness? Of(IReadOnlyList<Point2> points)
    {
        int[] hull = Hull(points);
        if (hull.Length < 2) return null;
        (double Width, int A, int B, int Far)? best = null;
        (double Height, double Slope)? upright = null;
        for (int i = 0; i < hull.Length; i++)
        {
            int a = hull[i], b = hull[(i + 1) % hull.Length];
            Point2 d = points[b] - points[a];
            int far = hull.MaxBy(k => Math.Abs(d.Cross(points[k] - points[a])));
            double area = Math.Abs(d.Cross(points[far] - points[a])), width = area / d.Length;
            if (best is null || width < best.Value.Width) best = (width, a, b, far);
            if (d.X != 0 && (upright is null || area / Math.Abs(d.X) < upright.Value.Height)) upright = (area / Math.Abs(d.X), d.Y / d.X);
        }
        (double w, int first, int second, int opposite) = best!.Value;
        Point2 edge = points[second] - points[first];
        double? leastSquares = LineFit.Fit([.. points.Select(p => new Point3(p.X, p.Y, 0))]) is LineFit line ? Spread(points, new(line.Direction.X, line.Direction.Y)) : null;
        Point2 ends = points[^1] - points[0];
        return new(w, (first, second), opposite, edge.Y / edge.X, leastSquares, ends.Length > 0 ? Spread(points, ends) : null, upright?.Height, upright?.Slope);
    }

    private static double Spread(IReadOnlyList<Point2> points, Point2 direction)
    {
        Point2 normal = 1 / direction.Length * direction.Turned();
        double[] d = [.. points.Select(p => (p - points[0]).Dot(normal))];
        return d.Max() - d.Min();
    }

    // Indices of the hull, counter-clockwise from the leftmost point; points on its edges are left out (monotone chain).
    private static int[] Hull(IReadOnlyList<Point2> points)
    {
        List<int> order = [.. Enumerable.Range(0, points.Count).OrderBy(i => points[i].X).ThenBy(i => points[i].Y).ThenBy(i => i)];
        for (int i = order.Count - 1; i > 0; i--)
        {
            if (points[order[i]] == points[order[i - 1]]) order.RemoveAt(i);
        }
        if (order.Count < 2) return [.. order];
        List<int> lower = Chain(order);
        order.Reverse();
        List<int> upper = Chain(order);
        return [.. lower.SkipLast(1), .. upper.SkipLast(1)];

        List<int> Chain(List<int> along)
        {
            List<int> chain = [];
            foreach (int k in along)
            {
                while (chain.Count > 1 && (points[chain[^1]] - points[chain[^2]]).Cross(points[k] - points[chain[^2]]) <= 0) chain.RemoveAt(chain.Count - 1);
                chain.Add(k);
            }
            return chain;
        }
    }
}
