using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Drains;

/// <summary>The fall strip: height of a channel's floor against its developed length in one attitude, ponds filled to their level, runs with slope and verdict.</summary>
public static class FallStrip
{
    private const double Width = 180, Height = 93, Left = 18, Right = 6, Top = 17, PlotHeight = 37, Text = 2.5;

    /// <summary>Draws the strip.</summary>
    /// <param name="at">The channel in its attitude.</param>
    public static Sheet Draw(ChannelInAttitude at)
    {
        ChannelWater water = at.Water;
        ChannelFloor floor = water.Floor;
        int count = floor.Points.Count;
        double upright = UpVector.For(at.Attitude).Z;
        double[] along = new double[count];
        for (int i = 1; i < count; i++) along[i] = along[i - 1] + floor.Points[i].Position.DistanceTo(floor.Points[i - 1].Position);
        double plotWidth = Width - Left - Right;
        double low = water.HeightMm.Min(), high = Math.Max(water.HeightMm.Select((h, i) => h + LipMm(i)).Max(), low + 1);
        double X(double mm) => Left + mm / along[^1] * plotWidth;
        double Y(double mm) => Top + PlotHeight * (high - mm) / (high - low);
        double LipMm(int i) => (floor.LipMm(i) ?? 0) * upright;

        string name = $"{floor.Channel.Name}, {at.Attitude.Name}";
        List<Shape> shapes =
        [
            new Lettering(new(Left, 6), $"{name}: {Word(at.Verdict)}", 3.5, Weight.Semibold),
            new Lettering(new(Left, 12), TextMeasure.Fit(Invariant($"pitch {at.Attitude.PitchDeg:0.##}, roll {at.Attitude.RollDeg:0.##} degrees; {(floor.IsMeasured ? "measured" : "nominal")}; heights drawn {Stretch(along[^1] / plotWidth / ((high - low) / PlotHeight))}; {Standing(water)}"), plotWidth, Text), Text, Ink: Palette.Grey),
        ];
        List<Shape> ponds = [];
        for (int r = 0; r + 1 < count; r++)
        {
            double level = Math.Min(water.LevelMm[r], water.LevelMm[r + 1]), a = water.HeightMm[r], b = water.HeightMm[r + 1];
            if (double.IsInfinity(level)) level = high;
            if (level - Math.Min(a, b) < 1e-6) continue;
            double from = a > level ? (a - level) / (a - b) : 0, to = b > level ? (level - a) / (b - a) : 1;
            double Along(double share) => along[r] + share * (along[r + 1] - along[r]);
            double Floor(double share) => a + share * (b - a);
            ponds.Add(new Trail([new(X(Along(from)), Y(Floor(from))), new(X(Along(from)), Y(level)), new(X(Along(to)), Y(level)), new(X(Along(to)), Y(Floor(to)))], null, Palette.Wash, Closed: true,
                Hatch: new(Palette.Blue, 1.1, 0, 0.25)));
        }
        shapes.Add(new Group("ponds", "Standing water", ponds));
        if (floor.LipMm(0) is not null)
            shapes.Add(new Trail([.. Enumerable.Range(0, count).Select(i => new Place(X(along[i]), Y(water.HeightMm[i] + LipMm(i))))], new(Palette.Grey, 0.2, [1.5, 1])));
        shapes.Add(new Trail([.. Enumerable.Range(0, count).Select(i => new Place(X(along[i]), Y(water.HeightMm[i])))], new(Palette.Black, 0.5)));
        // Scale of heights, over the lowest point.
        foreach (double share in new[] { 0, 0.5, 1.0 })
        {
            double h = share * (high - low);
            shapes.Add(Trail.Line(Left - 2, Y(low + h), Left - 0.5, Y(low + h), new(Palette.Grey, 0.2)));
            shapes.Add(new Lettering(new(Left - 3, Y(low + h) + 1.2), high - low < 20 ? Invariant($"{h:0.0}") : Invariant($"{h:0}"), Text, Anchor: Anchor.End, Ink: Palette.Grey));
        }
        shapes.Add(new Lettering(new(Left - 3, Top - 2), "mm", Text, Anchor: Anchor.End, Ink: Palette.Grey));

        const double pointLine = Top + PlotHeight + 8, runTop = Top + PlotHeight + 13;
        double lastName = double.NegativeInfinity;
        foreach (int i in Enumerable.Range(0, count).OrderByDescending(i => floor.Points[i].IsOutlet).ThenBy(i => i == 0 || i == count - 1 ? 0 : 1).ThenBy(i => i))
        {
            if (!floor.Points[i].IsOutlet) continue;
            double x = X(along[i]), y = Y(water.HeightMm[i]);
            // An arrow that leaves the floor downwards: an outlet.
            shapes.Add(new Group($"outlet-{i}", $"Outlet {floor.Points[i].Name}", [Trail.Line(x, y, x, y + 4, new(Palette.Blue, 0.6)), new Trail([new(x - 1.3, y + 3.2), new(x + 1.3, y + 3.2), new(x, y + 5.4)], null, Palette.Blue, Closed: true)]));
        }
        for (int i = 0; i < count; i++)
        {
            string point = floor.Points[i].Name;
            double half = TextMeasure.WidthMm(point, Text) / 2, x = X(along[i]);
            shapes.Add(Trail.Line(x, Top + PlotHeight + 5.5, x, Top + PlotHeight + 4.5, new(Palette.Light, 0.2)));
            if (x - half < lastName + 1.2) continue;
            shapes.Add(new Lettering(new(x, pointLine + 1.5), point, Text, Anchor: Anchor.Middle, Ink: floor.Points[i].IsOutlet ? Palette.Blue : Palette.Grey));
            lastName = x + half;
        }
        // Slopes stand upright under their runs; where there is no room for all, those that are not within come first.
        List<double> taken = [];
        foreach (int r in Enumerable.Range(0, at.Runs.Count).OrderByDescending(r => at.Runs[r].Verdict == Verdict.Within ? 0 : 1).ThenBy(r => at.Runs[r].Run.SlopePercent))
        {
            double x = (X(along[r]) + X(along[r + 1])) / 2;
            if (taken.Any(t => Math.Abs(t - x) < 3.9)) continue;
            taken.Add(x);
            RunVerdict run = at.Runs[r];
            string slope = run.Run.SlopePercent is double s ? Percent(s) : "upright";
            shapes.Add(new Lettering(new(x + 1.2, runTop + 14.5), $"{Mark(run.Verdict)} {slope}", Text, run.Verdict == Verdict.Within ? Weight.Regular : Weight.Semibold, Ink: Colour(run.Verdict), TurnDeg: -90));
        }
        shapes.Add(new Lettering(new(Left, Height - 6.5), "Slopes towards the outlet: ✓ within, ✗ outside, ? undecided, - not judged.", Text, Ink: Palette.Grey));
        shapes.Add(new Lettering(new(Left, Height - 2), $"Dashed: lip. Hatched: water that stays. Arrow: outlet.{(taken.Count < at.Runs.Count ? " Not all slopes have room." : "")}", Text, Ink: Palette.Grey));
        return new(Width, Height, $"Fall strip {name}", $"Height of the floor of channel {floor.Channel.Name} against its length in attitude {at.Attitude.Name}; {Standing(water)}; verdict {Word(at.Verdict)}.", shapes);
    }

    internal static string Mark(Verdict verdict) => verdict switch { Verdict.Within => "✓", Verdict.Outside => "✗", Verdict.Undecided => "?", _ => "-" };

    internal static string Word(Verdict verdict) => verdict == Verdict.Missing ? "not judged" : verdict.ToString().ToLowerInvariant();

    internal static Ink Colour(Verdict verdict) => verdict switch { Verdict.Outside => Palette.Red, Verdict.Within => Palette.Blue, _ => Palette.Black };

    private static string Percent(double slope) => Math.Abs(slope) >= 100 ? Invariant($"{slope:0} %") : Math.Abs(slope) >= 10 ? Invariant($"{slope:0.0} %") : Invariant($"{slope:0.00} %");

    private static string Standing(ChannelWater water) => water.Ponds.Count == 0 ? "no water stays"
        : water.PondDepthMm is not double depth ? "water that nothing known holds"
        : Invariant($"{water.Ponds.Count} pond{(water.Ponds.Count > 1 ? "s" : "")}, {depth:0.0} mm deep{(water.PondVolumeMl is double ml ? Invariant($", {ml:0.0} mL") : "")}");

    private static string Stretch(double factor) => factor >= 1 ? Invariant($"{factor:0.#} times lengths") : Invariant($"{1 / factor:0.#} times smaller than lengths");
}
