using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>The rigid movement that comes nearest to a door's true deviations, weighing gap and flush as the demo's gauges would.</summary>
/// <param name="TranslationMm">Shift, mm.</param>
/// <param name="RotationRad">Turn about the door's centre, rad.</param>
public sealed record RigidShare(Vector3 TranslationMm, Vector3 RotationRad)
{
    // Standard uncertainties of a taper gauge and a step gauge of the demo, mm; only their ratio matters.
    private const double GapMm = 0.06, FlushMm = 0.03;

    /// <summary>The rigid movement nearest to deviations from nominal at every station of a door.</summary>
    public static RigidShare Of(Door door, IReadOnlyList<double> gapMm, IReadOnlyList<double> flushMm)
    {
        int n = door.Stations.Count;
        Point3 centre = door.Centre;
        double[,] matrix = new double[2 * n, 6];
        double[] right = new double[2 * n];
        foreach (Station s in door.Stations)
        {
            Row(s.Index, s.IntoDoor, s.Position - centre, gapMm[s.Index], GapMm);
            Row(n + s.Index, s.Normal, s.Position - centre, flushMm[s.Index], FlushMm);
        }
        double[] x = ThinSvd.Of(matrix).Solve(right, 6);
        return new(new(x[0], x[1], x[2]), new Vector3(x[3], x[4], x[5]) / 500);

        void Row(int i, Vector3 d, Vector3 p, double value, double u)
        {
            Vector3 turn = p.Cross(d) / 500;   // turns in units of 1/500 rad, so that all six columns are of one size
            (matrix[i, 0], matrix[i, 1], matrix[i, 2]) = (d.X / u, d.Y / u, d.Z / u);
            (matrix[i, 3], matrix[i, 4], matrix[i, 5]) = (turn.X / u, turn.Y / u, turn.Z / u);
            right[i] = value / u;
        }
    }
}
