namespace GapFlush.Reports.Drawing;

/// <summary>An upright rectangle on a sheet, mm: room for something, taken or free.</summary>
/// <param name="Left">Left edge.</param>
/// <param name="Top">Top edge.</param>
/// <param name="Width">Width, not negative.</param>
/// <param name="Height">Height, not negative.</param>
public readonly record struct Box(double Left, double Top, double Width, double Height)
{
    /// <summary>Right edge.</summary>
    public double Right => Left + Width;

    /// <summary>Bottom edge.</summary>
    public double Bottom => Top + Height;

    /// <summary>The middle.</summary>
    public Place Centre => new(Left + Width / 2, Top + Height / 2);

    /// <summary>The four corners, clockwise from the top left.</summary>
    public IReadOnlyList<Place> Corners => [new(Left, Top), new(Right, Top), new(Right, Bottom), new(Left, Bottom)];

    /// <summary>True when the two share more than an edge.</summary>
    public bool Overlaps(Box other) => Left < other.Right && other.Left < Right && Top < other.Bottom && other.Top < Bottom;

    /// <summary>True when the other lies in this one, edges included.</summary>
    public bool Contains(Box other) => other.Left >= Left && other.Right <= Right && other.Top >= Top && other.Bottom <= Bottom;

    /// <summary>True when the place lies in this box, edges included.</summary>
    public bool Contains(Place point) => point.X >= Left && point.X <= Right && point.Y >= Top && point.Y <= Bottom;

    /// <summary>The box with every edge moved out by <paramref name="by"/> mm (in, where it is negative).</summary>
    public Box Grow(double by) => new(Left - by, Top - by, Width + 2 * by, Height + 2 * by);

    /// <summary>The smallest box round some places.</summary>
    /// <exception cref="ArgumentException">There are none.</exception>
    public static Box Round(IReadOnlyCollection<Place> points)
    {
        if (points.Count == 0) throw new ArgumentException("No points, no box.", nameof(points));
        double left = points.Min(p => p.X), top = points.Min(p => p.Y);
        return new(left, top, points.Max(p => p.X) - left, points.Max(p => p.Y) - top);
    }

    /// <summary>True when the straight line between two places runs through the inside of the box.</summary>
    public bool IsCrossedBy(Place from, Place to)
    {
        // Liang and Barsky's clipping: the part of the line inside each pair of edges, as a range of its parameter.
        double enter = 0, leave = 1;
        Place d = to - from;
        return Clip(-d.X, from.X - Left) && Clip(d.X, Right - from.X) && Clip(-d.Y, from.Y - Top) && Clip(d.Y, Bottom - from.Y) && enter < leave;

        bool Clip(double p, double q)
        {
            if (p == 0) return q > 0;
            double r = q / p;
            if (p < 0) enter = Math.Max(enter, r);
            else leave = Math.Min(leave, r);
            return enter < leave;
        }
    }
}
