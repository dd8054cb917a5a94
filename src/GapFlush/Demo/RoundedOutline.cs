namespace GapFlush.Demo;

/// <summary>A four-sided door outline with rounded corners, laid out flat in the skin coordinates x (aft) and v (up) and walked clockwise as seen
/// from outside on the port side: lower forward corner, forward side, upper forward corner, top, upper aft corner, aft side, lower aft corner, bottom.</summary>
internal sealed class RoundedOutline
{
    private readonly (double X, double V)[] _corners;
    private readonly double[] _radii;

    /// <summary>Makes an outline.</summary>
    /// <param name="corners">Where the sides would meet: lower forward, upper forward, upper aft, lower aft; mm.</param>
    /// <param name="radii">Corner radii in the same order, mm.</param>
    public RoundedOutline((double X, double V)[] corners, double[] radii) => (_corners, _radii) = (corners, radii);

    /// <summary>A place on the outline and the direction of walking there.</summary>
    internal readonly record struct Step(double X, double V, double Dx, double Dv);

    /// <summary>A place on the rounding of a corner.</summary>
    /// <param name="corner">0 lower forward, 1 upper forward, 2 upper aft, 3 lower aft.</param>
    /// <param name="fraction">From 0 where the rounding starts to 1 where it ends.</param>
    public Step OnCorner(int corner, double fraction)
    {
        (double X, double V) d0 = Direction((corner + 3) % 4), d1 = Direction(corner);
        double r = _radii[corner], turn = Turn(corner), trim = Trim(corner);
        (double X, double V) c = _corners[corner];
        // The centre lies to the right of the path; right of (dx, dv) is (dv, -dx).
        (double X, double V) centre = (c.X - trim * d0.X + r * d0.V, c.V - trim * d0.V - r * d0.X);
        (double cos, double sin) = (Math.Cos(fraction * turn), Math.Sin(fraction * turn));
        (double X, double V) h = fraction >= 1 ? d1 : (d0.X * cos + d0.V * sin, d0.V * cos - d0.X * sin);
        return new(centre.X - r * h.V, centre.V + r * h.X, h.X, h.V);
    }

    /// <summary>A place on the straight part of a side.</summary>
    /// <param name="side">0 forward, 1 top, 2 aft, 3 bottom.</param>
    /// <param name="fraction">From 0 where the straight part starts to 1 where it ends.</param>
    public Step OnSide(int side, double fraction)
    {
        (double X, double V) a = _corners[side], b = _corners[(side + 1) % 4], d = Direction(side);
        double length = Math.Sqrt((b.X - a.X) * (b.X - a.X) + (b.V - a.V) * (b.V - a.V));
        double s = Trim(side) + fraction * (length - Trim(side) - Trim((side + 1) % 4));
        return new(a.X + s * d.X, a.V + s * d.V, d.X, d.V);
    }

    /// <summary>Distance from the outline in the flat, mm; positive outside.</summary>
    public double DistanceOutside(double x, double v)
    {
        double nearest = double.PositiveInfinity;
        bool inside = true;
        for (int i = 0; i < 4; i++)
        {
            for (int k = 0; k <= 40; k++)
            {
                foreach (Step step in (Step[])[OnSide(i, k / 40.0), OnCorner(i, k / 40.0)])
                {
                    nearest = Math.Min(nearest, Math.Sqrt((x - step.X) * (x - step.X) + (v - step.V) * (v - step.V)));
                    // The outline is convex and walked clockwise, so the inside lies to the right of every step.
                    if ((x - step.X) * step.Dv - (v - step.V) * step.Dx < 0) inside = false;
                }
            }
        }
        return inside ? -nearest : nearest;
    }

    private (double X, double V) Direction(int side)
    {
        (double X, double V) a = _corners[side], b = _corners[(side + 1) % 4];
        double length = Math.Sqrt((b.X - a.X) * (b.X - a.X) + (b.V - a.V) * (b.V - a.V));
        return ((b.X - a.X) / length, (b.V - a.V) / length);
    }

    private double Turn(int corner)
    {
        (double X, double V) d0 = Direction((corner + 3) % 4), d1 = Direction(corner);
        return Math.Acos(d0.X * d1.X + d0.V * d1.V);
    }

    private double Trim(int corner) => _radii[corner] * Math.Tan(Turn(corner) / 2);
}
