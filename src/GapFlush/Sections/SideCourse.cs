using GapFlush.Geometry;
using GapFlush.Numerics;

namespace GapFlush.Sections;

/// <summary>Where one side of a seam lies all along it and what its edge is like, as its stations tell together; from it, where a station that departs from the others is to be looked at again.</summary>
/// <remarks>A part keeps its shape: the places of its edge follow one small motion of the whole, to which the two neighbours add what waves they show; radius, chamfer and draft come from one mould.
/// It gives no more than a start for another fit. METHOD.md, eq. 44.</remarks>
internal sealed class SideCourse
{
    // Below eight stations there is no telling who departs. Common practice, no source: parts keep their shape to some tenths of a millimetre, moulds their edges better.
    private const int LeastStations = 8;
    private const double Sigmas = 4, LeastPlaceMm = 0.15, LeastBreakMm = 0.25, LeastDraftRad = 0.03, UnbelievedMm = 1;

    private readonly double[] _x, _y;
    private readonly double _xSd, _ySd;
    private readonly (double Value, double Sd) _break1, _break2, _draft;
    private readonly double _turn;
    private readonly bool _isChamfer;

    private SideCourse(double[] x, double[] y, double xSd, double ySd, double turn, bool isChamfer, (double, double) break1, (double, double) break2, (double, double) draft) =>
        (_x, _y, _xSd, _ySd, _turn, _isChamfer, _break1, _break2, _draft) = (x, y, xSd, ySd, turn, isChamfer, break1, break2, draft);

    /// <summary>What the stations of one side tell; null where they are too few.</summary>
    /// <param name="fits">The fits of the side, by station; null where there is none.</param>
    /// <param name="slabs">The stations.</param>
    /// <param name="door">Which side.</param>
    /// <param name="shape">What the side's edge is like all along; where that is not told, what is usual.</param>
    public static SideCourse? Of(IReadOnlyList<SideFit?> fits, IReadOnlyList<StationSlab> slabs, bool door, ShapePrior shape)
    {
        int[] told = [.. Enumerable.Range(0, fits.Count).Where(i => fits[i] is { Cells: not null, EdgeCount: >= 20 } fit && fit.Parameters.IsChamfer == shape.IsChamfer)];
        if (told.Length < LeastStations) return null;
        Vector3 centre = 1.0 / told.Length * told.Aggregate(default(Vector3), (sum, i) => sum + (slabs[i].Station.Position - default(Point3)));
        // Outward of the part's own edge, towards the gap: a door's edge looks against the section's axis.
        double[][] edgeRows = [.. slabs.Select(s => Row((door ? -1 : 1) * s.Station.IntoDoor, s.Station.Position - default(Point3) - centre, 1))];
        double[][] faceRows = [.. slabs.Select(s => Row(s.Station.Normal, s.Station.Position - default(Point3) - centre, 0))];
        double[] edge = new double[fits.Count], face = new double[fits.Count];
        foreach (int i in told)
        {
            edge[i] = fits[i]!.Parameters.Values[SideParameters.X] + slabs[i].NominalGapMm / 2;
            face[i] = fits[i]!.Parameters.Values[SideParameters.Y] - (door ? slabs[i].NominalFlushMm : 0);
        }
        if (Motion(edgeRows, faceRows, edge, face, told) is not (double[] motion, double edgeSd, double faceSd)) return null;
        double[] x = new double[fits.Count], y = new double[fits.Count];
        for (int i = 0; i < fits.Count; i++)
        {
            // What waves the nearest on either side show, unless they depart themselves.
            int[] beside = [.. new[] { told.LastOrDefault(k => k < i, told[^1]), told.FirstOrDefault(k => k > i, told[0]) }.Where(k => k != i)];
            x[i] = Dot(edgeRows[i], motion) + Mean(beside, k => edge[k] - Dot(edgeRows[k], motion), Sigmas * edgeSd) - slabs[i].NominalGapMm / 2;
            y[i] = Dot(faceRows[i], motion) + Mean(beside, k => face[k] - Dot(faceRows[k], motion), Sigmas * faceSd) + (door ? slabs[i].NominalFlushMm : 0);
        }
        return new(x, y, edgeSd, faceSd, Middle(told, fits, SideParameters.Turn).Value, shape.IsChamfer,
            Middle(told, fits, SideParameters.Break1), Middle(told, fits, SideParameters.Break2),
            told.Count(i => fits[i]!.WallCount >= 50) >= LeastStations ? Middle([.. told.Where(i => fits[i]!.WallCount >= 50)], fits, SideParameters.Draft) : shape.DraftRad);
    }

    /// <summary>True where a fit departs from what the other stations of its side let expect by more than they differ among themselves.</summary>
    public bool IsUnlike(int station, SideFit fit)
    {
        double[] p = fit.Parameters.Values;
        return fit.Cells is null || fit.Parameters.IsChamfer != _isChamfer
            || Math.Abs(p[SideParameters.X] - _x[station]) > Math.Max(LeastPlaceMm, Sigmas * _xSd) || Math.Abs(p[SideParameters.Y] - _y[station]) > Math.Max(LeastPlaceMm, Sigmas * _ySd)
            || IsOff(p[SideParameters.Break1], _break1, LeastBreakMm) || (_isChamfer && IsOff(p[SideParameters.Break2], _break2, LeastBreakMm)) || IsOff(p[SideParameters.Draft], _draft, LeastDraftRad);
    }

    /// <summary>True where a fit's wall leans otherwise than the walls of the other stations by more than they differ among themselves.</summary>
    public bool IsForeignWall(SideFit fit) => fit.WallMm > 0 && IsOff(fit.Parameters.Values[SideParameters.Draft], _draft, LeastDraftRad);

    /// <summary>How far a fit's edge lies from where the others let expect it, mm, where that is too far to be believed; else null.</summary>
    public double? Departure(int station, SideFit fit)
    {
        double off = Math.Abs(fit.Parameters.Values[SideParameters.X] - _x[station]);
        return off > Math.Max(UnbelievedMm, 2 * Sigmas * _xSd) ? off : null;
    }

    /// <summary>Where the station would lie, and what its edge would be, if it were like the others.</summary>
    /// <param name="station">Which.</param>
    /// <param name="curvature">Of its skin, as the skin across the seam, made to the same loft, lets expect, 1/mm.</param>
    public SideParameters Start(int station, double curvature)
    {
        double[] p = new double[SideParameters.Count];
        (p[SideParameters.X], p[SideParameters.Y], p[SideParameters.Draft], p[SideParameters.Break1]) = (_x[station], _y[station], _draft.Value, _break1.Value);
        if (_isChamfer) p[SideParameters.Break2] = _break2.Value;
        (p[SideParameters.Turn], p[SideParameters.Curvature]) = (_turn, curvature);
        return new(_isChamfer, p);
    }

    private static bool IsOff(double value, (double Value, double Sd) usual, double least) => Math.Abs(value - usual.Value) > Math.Max(least, Sigmas * usual.Sd);

    private static (double Value, double Sd) Middle(int[] told, IReadOnlyList<SideFit?> fits, int k)
    {
        double[] values = [.. told.Select(i => fits[i]!.Parameters.Values[k]).Order()];
        double median = values[values.Length / 2];
        return (median, values.Select(v => Math.Abs(v - median)).Order().ElementAt(values.Length / 2) / RobustWeights.NormalMedian);
    }

    private static double Mean(int[] stations, Func<int, double> of, double most)
    {
        double[] values = [.. stations.Select(of).Where(v => Math.Abs(v) <= most)];
        return values.Length == 0 ? 0 : values.Average();
    }

    // Shift, turn and a growth all round, by least squares that leave out who lies more than three and a half robust standard deviations off.
    private static (double[] Motion, double EdgeSd, double FaceSd)? Motion(double[][] edgeRows, double[][] faceRows, double[] edge, double[] face, int[] told)
    {
        const int N = 7;
        double[] motion = new double[N];
        double edgeSd = double.PositiveInfinity, faceSd = double.PositiveInfinity;
        for (int pass = 0; pass < 6; pass++)
        {
            double[,] a = new double[N, N];
            double[] g = new double[N];
            // A stretch of a door does not hold all of them.
            for (int p = 0; p < N; p++) a[p, p] = p is >= 3 and < 6 ? 1e3 : 1e-2;
            foreach (int i in told)
            {
                Add(edgeRows[i], edge[i], edgeSd);
                Add(faceRows[i], face[i], faceSd);
            }
            if (Cholesky.Factor(a) is not double[,] factor) return null;
            motion = Cholesky.Solve(factor, g);
            (edgeSd, faceSd) = (Scatter(edgeRows, edge), Scatter(faceRows, face));

            void Add(double[] row, double value, double sd)
            {
                if (Math.Abs(value - Dot(row, motion)) > 3.5 * sd) return;
                for (int p = 0; p < N; p++)
                {
                    g[p] += row[p] * value;
                    for (int q = 0; q < N; q++) a[p, q] += row[p] * row[q];
                }
            }
        }
        return (motion, edgeSd, faceSd);

        double Scatter(double[][] rows, double[] values) => Math.Max(1e-3, told.Select(i => Math.Abs(values[i] - Dot(rows[i], motion))).Order().ElementAt(told.Length / 2) / RobustWeights.NormalMedian);
    }

    // How far a place moves along an axis under a shift, a turn about the middle and a growth.
    private static double[] Row(Vector3 axis, Vector3 arm, double growth)
    {
        Vector3 turn = arm.Cross(axis);
        return [axis.X, axis.Y, axis.Z, turn.X, turn.Y, turn.Z, growth];
    }

    private static double Dot(double[] a, double[] b)
    {
        double sum = 0;
        for (int i = 0; i < a.Length; i++) sum += a[i] * b[i];
        return sum;
    }
}
