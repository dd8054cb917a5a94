using GapFlush.Numerics;
using GapFlush.Sections;

namespace GapFlush.Tests.Sections;

/// <summary>Points of one side round a station, with what they were made from.</summary>
internal static class MadeSide
{
    /// <summary>A side with two millimetres to the middle, on a barrel, its edge a radius or a chamfer.</summary>
    public static SideParameters Truth(bool chamfer)
    {
        double[] p = new double[SideParameters.Count];
        (p[SideParameters.X], p[SideParameters.Y], p[SideParameters.Y + 1], p[SideParameters.X + 2]) = (-2, 0.1, 0.002, 1e-4);
        (p[SideParameters.Turn], p[SideParameters.Turn + 1], p[SideParameters.Curvature], p[SideParameters.Draft]) = (0.01, 1e-4, 1 / 900.0, 0.03);
        (p[SideParameters.Break1], p[SideParameters.Break2]) = (1.2, chamfer ? 0.9 : 0);
        return new(chamfer, p);
    }

    /// <summary>Its points.</summary>
    /// <param name="truth">The side.</param>
    /// <param name="noise">Standard deviation of a point, each axis, mm.</param>
    /// <param name="random">Draws.</param>
    /// <param name="pitch">Distance of points, mm.</param>
    /// <param name="sharedMm">Over how many millimetres neighbours share half of their noise's variance; 0 for noise of each point by itself.</param>
    /// <param name="wallShiftMm">How far the wall's points lie off towards the gap, mm: a pass that is off.</param>
    public static SidePoints Points(SideParameters truth, double noise, SeededRandom random, double pitch = 0.3, double sharedMm = 0, double wallShiftMm = 0)
    {
        SideModel model = new(truth);
        List<double> s = [], x = [], y = [];
        Dictionary<(long, long, long), (double S, double X, double Y)> cubes = [];
        (double from, double to) = model.EdgePlaces;
        for (double along = -15.2; along < 15.2; along += pitch)
        {
            for (double q = model.SkinEnd - random.Between(0, pitch); q > -27; q -= pitch) Add(PieceKind.Skin, q);
            for (double q = random.Between(0, pitch); q < model.EdgeLength; q += pitch) Add(PieceKind.Edge, from + (to - from) * q / model.EdgeLength);
            for (double q = model.WallStart + random.Between(0, pitch); q < 7; q += pitch) Add(PieceKind.Wall, q);

            void Add(PieceKind piece, double place)
            {
                double at = along + random.Between(-pitch / 2, pitch / 2);
                (double px, double py) = model.Over(at, piece, place, 0);
                if (piece == PieceKind.Wall) px += wallShiftMm;
                (double es, double ex, double ey) = (random.Normal(0, noise), random.Normal(0, noise), random.Normal(0, noise));
                if (sharedMm > 0)
                {
                    (long, long, long) cube = ((long)Math.Floor(at / sharedMm), (long)Math.Floor(px / sharedMm), (long)Math.Floor(py / sharedMm));
                    if (!cubes.TryGetValue(cube, out (double S, double X, double Y) common)) cubes[cube] = common = (random.Normal(0, noise), random.Normal(0, noise), random.Normal(0, noise));
                    double half = Math.Sqrt(0.5);
                    (es, ex, ey) = (half * (es + common.S), half * (ex + common.X), half * (ey + common.Y));
                }
                s.Add(at + es);
                x.Add(px + ex);
                y.Add(py + ey);
            }
        }
        return new([.. s], [.. x], [.. y]);
    }
}
