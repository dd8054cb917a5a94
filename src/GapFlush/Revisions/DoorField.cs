using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Revisions;

/// <summary>Splits the gap and flush deviations of one door of one build into rigid movement, size, and waves of shape round the outline.</summary>
/// <remarks>
/// <para>Frame: plan axes; turns about the mean of the stations. Size: mm by which the gap is wider all round, so positive where the door is smaller or the opening
/// larger, a side. Waves: cosine and sine of 1 to 3 periods over the developed seam, gap and flush apart.</para>
/// <para>Method: one least-squares fit of movement and size together; waves by least squares of what that leaves. Each part is a fixed linear function of the
/// deviations, so its scatter from build to build, hanging included, is its own measure of doubt. METHOD.md, eq. 2 to 5.</para>
/// <para>No answer (null): too few stations read to fix movement, size and waves.</para>
/// </remarks>
internal sealed class DoorField
{
    public const int Waves = 3;

    private DoorField(double[] rigid, double size, double[] waves, Dictionary<(string, Characteristic), double> shape) => (Rigid, SizeMm, WaveMm, ShapeMm) = (rigid, size, waves, shape);

    /// <summary>Shifts along x, y, z in mm and turns about them in mrad.</summary>
    public double[] Rigid { get; }

    /// <summary>Wider gap all round, mm.</summary>
    public double SizeMm { get; }

    /// <summary>Gap cosine 1, sine 1, cosine 2, ... then the same for flush, mm.</summary>
    public double[] WaveMm { get; }

    /// <summary>What the rigid movement leaves of each value, mm.</summary>
    public IReadOnlyDictionary<(string Station, Characteristic Characteristic), double> ShapeMm { get; }

    public static IEnumerable<string> WaveNames =>
        from what in (string[])["gap", "flush"] from k in Enumerable.Range(1, Waves) from part in (string[])["cosine", "sine"] select Invariant($"{what}, {k} wave{(k > 1 ? "s" : "")} round the door, {part}");

    public static DoorField? Of(Door door, IReadOnlyList<(Station Station, Characteristic Characteristic, double DeviationMm)> deviations)
    {
        Point3 centre = door.Centre;
        double[] y = [.. deviations.Select(d => d.DeviationMm)];
        double[][] columns = [.. Enumerable.Range(0, 7).Select(_ => new double[y.Length])];
        for (int i = 0; i < y.Length; i++)
        {
            (Station s, Characteristic c, double value) = deviations[i];
            SeamDeviation d = c == Characteristic.Gap ? SeamDeviation.OfGap(s, value) : SeamDeviation.OfFlush(s, value);
            Vector3 turn = (s.Position - centre).Cross(d.Direction);
            (columns[0][i], columns[1][i], columns[2][i]) = (d.Direction.X, d.Direction.Y, d.Direction.Z);
            (columns[3][i], columns[4][i], columns[5][i]) = (turn.X / 1000, turn.Y / 1000, turn.Z / 1000);
            columns[6][i] = c == Characteristic.Gap ? 1 : 0;
        }
        if (LeastSquares.Fit(columns, y, intercept: false) is not LeastSquares fit) return null;
        List<double> waves = [];
        foreach (Characteristic what in (Characteristic[])[Characteristic.Gap, Characteristic.Flush])
        {
            int[] rows = [.. Enumerable.Range(0, y.Length).Where(i => deviations[i].Characteristic == what)];
            double[] rest = [.. rows.Select(i => fit.Residuals[i])];
            List<double[]> basis = [[.. rows.Select(_ => 1.0)]];
            for (int k = 1; k <= Waves; k++)
            {
                double[] angle = [.. rows.Select(i => 2 * Math.PI * k * deviations[i].Station.AlongMm / door.PerimeterMm)];
                basis.Add([.. angle.Select(Math.Cos)]);
                basis.Add([.. angle.Select(Math.Sin)]);
            }
            if (LeastSquares.Fit(basis, rest, intercept: true) is not LeastSquares wave) return null;
            waves.AddRange(wave.Coefficients.Skip(1));
        }
        Dictionary<(string, Characteristic), double> shape = [];
        for (int i = 0; i < y.Length; i++)
            shape[(deviations[i].Station.Name, deviations[i].Characteristic)] = fit.Residuals[i] + (deviations[i].Characteristic == Characteristic.Gap ? fit.Coefficients[6] : 0);
        return new([.. fit.Coefficients.Take(6)], fit.Coefficients[6], [.. waves], shape);
    }
}
