using GapFlush.Decisions;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Maps;

/// <summary>Draws a ribbon: ground, limits, nominal, the measured curve, whiskers and marks.</summary>
internal static class RibbonLayer
{
    private const double MarkSize = 2.3;

    /// <summary>Room that a mark takes, with its line and its arrow, mm.</summary>
    public const double MarkRoomMm = 3.4;

    private static readonly Stroke Edge = new(Palette.Grey, 0.25), Open = new(Palette.Light, 0.2, [0.6, 1.0]), Nominal = new(Palette.Grey, 0.2, [1.6, 1.1]),
        Measured = new(Palette.Black, 0.4), Whisker = new(Palette.Grey, 0.25);

    public static Group Draw(Ribbon ribbon, int stations, string id)
    {
        List<Shape> shapes = [new Trail(ribbon.HighEdge, null, Palette.Wash, Closed: true, Hole: ribbon.LowEdge)];
        bool lowerOpen = false, upperOpen = false;
        for (int i = 0; i < stations; i++)
        {
            if (ribbon.Row(i)?.Limits is not Limits limits) continue;
            lowerOpen |= limits.Lower is null;
            upperOpen |= limits.Upper is null;
        }
        shapes.Add(new Trail(ribbon.LowEdge, lowerOpen ? Open : Edge, Closed: true));
        shapes.Add(new Trail(ribbon.HighEdge, upperOpen ? Open : Edge, Closed: true));
        shapes.AddRange(NominalLine(ribbon, stations));
        shapes.AddRange(MeasuredCurve(ribbon, stations));
        for (int i = 0; i < stations; i++) shapes.AddRange(MarkOf(ribbon, i));
        return new Group(id, $"{ribbon.Characteristic.Words} ribbon", shapes);
    }

    /// <summary>Where the mark of a station stands.</summary>
    public static Place MarkPlace(Ribbon ribbon, int station)
    {
        ResultRow? row = ribbon.Row(station);
        double share = row?.Measurement.Value is double value && ribbon.Share(station, value) is double s ? Ribbon.Held(s) : 0.5;
        return ribbon.At(SeamOnPage.SampleOf(station), share);
    }

    private static IEnumerable<Shape> NominalLine(Ribbon ribbon, int stations)
    {
        List<Place> run = [];
        for (int i = 0; i <= stations; i++)
        {
            int station = i % stations, next = (i + 1) % stations;
            if (NominalShare(ribbon, station) is not double here)
            {
                if (run.Count > 1) yield return new Trail(run, Nominal);
                run = [];
                continue;
            }
            int from = SeamOnPage.SampleOf(station), steps = ribbon.Samples / stations;
            if (i == stations || NominalShare(ribbon, next) is not double there)
            {
                run.Add(ribbon.At(from, here));
                continue;
            }
            for (int k = 0; k < steps; k++) run.Add(ribbon.At(from + k, here + (there - here) * k / steps));
        }
        if (run.Count > 1) yield return new Trail(run, Nominal);
    }

    private static double? NominalShare(Ribbon ribbon, int station) => ribbon.Row(station)?.Nominal is double nominal ? ribbon.Share(station, nominal) : null;

    private static IEnumerable<Shape> MeasuredCurve(Ribbon ribbon, int stations)
    {
        double?[] share = [.. Enumerable.Range(0, stations).Select(i => ribbon.Row(i)?.Measurement.Value is double v && ribbon.Share(i, v) is double s ? Ribbon.Held(s) : (double?)null)];
        double[] slope = Slopes(share);
        int steps = ribbon.Samples / stations;
        List<Place> run = [];
        // Starting after a break keeps a curve that runs past the first station in one piece.
        int start = Math.Max(0, Array.FindIndex(share, s => s is null));
        for (int i = 0; i < stations; i++)
        {
            int a = (start + i) % stations, b = (a + 1) % stations;
            if (share[a] is not double from || share[b] is not double to)
            {
                if (run.Count > 1) yield return new Trail(run, Measured);
                run = [];
                continue;
            }
            for (int k = run.Count == 0 ? 0 : 1; k <= steps; k++)
            {
                double s = k / (double)steps, s2 = s * s, s3 = s2 * s;
                double value = (2 * s3 - 3 * s2 + 1) * from + (s3 - 2 * s2 + s) * slope[a] + (3 * s2 - 2 * s3) * to + (s3 - s2) * slope[b];
                run.Add(ribbon.At(SeamOnPage.SampleOf(a) + k, value));
            }
        }
        if (run.Count > 1) yield return new Trail(run, Measured);
    }

    // Monotone between stations: zero slope at a turn, the harmonic mean of the neighbouring differences elsewhere (Fritsch and Butland 1984, from memory).
    // So the curve never shows a value beyond those measured on either side.
    private static double[] Slopes(double?[] share)
    {
        int n = share.Length;
        double[] slope = new double[n];
        for (int i = 0; i < n; i++)
        {
            if (share[(i + n - 1) % n] is not double before || share[i] is not double here || share[(i + 1) % n] is not double after) continue;
            double left = here - before, right = after - here;
            slope[i] = left * right > 0 ? 2 * left * right / (left + right) : 0;
        }
        return slope;
    }

    private static IEnumerable<Shape> MarkOf(Ribbon ribbon, int station)
    {
        int sample = SeamOnPage.SampleOf(station);
        ResultRow? row = ribbon.Row(station);
        if (row?.Measurement.Value is not double value || ribbon.Share(station, value) is not double share)
            return row?.Verdict == Verdict.Missing ? MarkShapes.At(Mark.Missing, ribbon.At(sample, 0.5), MarkSize) : [];
        List<Shape> shapes = [];
        if (row.Measurement.ExpandedUncertainty is double u && ribbon.Share(station, value - u) is double low && ribbon.Share(station, value + u) is double high && Ribbon.Held(share) == share)
            shapes.Add(new Trail([ribbon.At(sample, Ribbon.Held(low)), ribbon.At(sample, Ribbon.Held(high))], Whisker));
        Place at = ribbon.At(sample, Ribbon.Held(share));
        if (Ribbon.Held(share) != share) shapes.Add(Arrow(ribbon, sample, share));
        shapes.AddRange(MarkShapes.At(MarkFor(row.Verdict), at, MarkSize));
        return shapes;
    }

    /// <summary>The mark of a verdict; a value without limits has the plain dot.</summary>
    public static Mark MarkFor(Verdict? verdict) => verdict switch
    {
        Verdict.Outside => Mark.Outside,
        Verdict.Undecided => Mark.Undecided,
        Verdict.Missing => Mark.Missing,
        _ => Mark.Within,
    };

    // A value too far out for the sheet is pinned; the arrow says that it goes on.
    private static Trail Arrow(Ribbon ribbon, int sample, double share)
    {
        Place tip = ribbon.At(sample, Ribbon.Held(share)), inside = ribbon.At(sample, share > 0.5 ? 0.9 : 0.1);
        Place back = 1 / Math.Max(1e-9, (inside - tip).Length) * (inside - tip), side = new(-back.Y, back.X);
        Place foot = tip + 1.9 * back;
        return new Trail([tip + 0.2 * back, foot + 0.8 * side, foot + -0.8 * side], null, Palette.Red, Closed: true);
    }
}
