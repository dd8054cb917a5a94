using GapFlush.Geometry;

namespace GapFlush.Sections;

/// <summary>One side of a seam over a short run of it: a <see cref="SideProfile"/> whose corner shifts and whose skin turns smoothly along the seam.</summary>
/// <remarks>
/// <para>Own axes as in <see cref="SideProfile"/>: x towards the gap on either side, y outward, s along the seam from the station. Corner at (X0 + X1 s + X2 s², Y0 + Y1 s + Y2 s²), skin turned
/// by F0 + F1 s; its curvature runs from K0 by K1 a millimetre; draft and edge break hold over the run. METHOD.md, eq. 20 to 24.</para>
/// </remarks>
internal sealed class SideParameters
{
    /// <summary>Number of parameters: three for x, three for y, two for the turn, two for the curvature, draft, and two for the edge break.</summary>
    public const int Count = 13;

    public const int X = 0, Y = 3, Turn = 6, Curvature = 8, Draft = 10, Break1 = 11, Break2 = 12;

    public SideParameters(bool isChamfer, double[] values) => (IsChamfer, Values) = (isChamfer, values);

    public bool IsChamfer { get; }

    public double[] Values { get; }

    /// <summary>Largest edge radius that is told from a curved skin, mm.</summary>
    private const double LargestRadius = 12;

    /// <summary>True where the numbers describe a shape at all.</summary>
    public bool IsShape
    {
        get
        {
            double[] p = Values;
            foreach (double v in p) if (!double.IsFinite(v)) return false;
            if (Math.Abs(p[Draft]) > 0.7 || Math.Abs(p[Curvature]) > 0.05 || Math.Abs(p[Curvature + 1]) > 0.002 || Math.Abs(p[Turn]) > 0.5) return false;
            if (IsChamfer) return p[Break1] is > 0.01 and < LargestRadius && p[Break2] is > 0.01 and < LargestRadius;
            (double sin, double cos) = Math.SinCos(p[Draft]);
            return p[Break1] is >= 0 and < LargestRadius && cos * cos - 2 * p[Curvature] * p[Break1] * (1 + sin) > 0;
        }
    }

    /// <summary>The outline in the section plane at the station.</summary>
    /// <param name="isDoor">True to mirror it into the door's place.</param>
    /// <param name="skinLengthMm">How far the skin is followed.</param>
    /// <param name="wallLengthMm">How far the wall is followed.</param>
    public Outline AtStation(bool isDoor, double skinLengthMm, double wallLengthMm)
    {
        double[] p = Values;
        EdgeBreak edge = IsChamfer ? EdgeBreak.Chamfer(p[Break1], p[Break2]) : EdgeBreak.Radius(Math.Max(0, p[Break1]));
        double side = isDoor ? -1 : 1;
        return Outline.Place(new(edge, p[Draft], p[Curvature], skinLengthMm, wallLengthMm), isDoor, new Point2(side * p[X], p[Y]), side * p[Turn]);
    }
}
