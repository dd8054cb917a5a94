using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Reports.Drains;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Maps;

/// <summary>The outline map of one door: seen from outside, true to the outline, with a limit ribbon for gap outside the seam and one for flush inside it;
/// where the door has seal compressions, a third ribbon for them inside that of the flush.</summary>
/// <remarks>
/// <para>Ribbon: its edges are the limits, its broken middle line is nominal, the curve is what was measured; outward is a wider gap, a proud door or a seal pressed more. Width is in units of tolerance. A
/// missing station breaks the curve; a limit that is open has a dotted edge; a value far outside is pinned with an arrow and told in words.</para>
/// <para>Labels: every station that is outside, undecided or missing gets one; stations in a row that miss the same value for the same reason share one.
/// What finds no free paper is listed in the title block, and if that is full, counted there.</para>
/// <para>Drain channels: a line inside the ribbons, each place beside the nearest place of the seam, with arrows the way the water goes.</para>
/// </remarks>
public static class DoorMap
{
    internal const double SheetWidth = 297, SheetHeight = 210, Margin = 7, BlockLeft = 219;
    private const double MostBand = 8, MostRibbon = 12, MostOfThree = 9, SealShare = 0.85, SealSpace = 0.1;

    // Room inside the innermost ribbon for the drain channels, which are laid there beside the seam, each place at the nearest place of the seam.
    private const double LaneMm = 2 * ChannelLayer.HalfRoomMm;
    internal static readonly Stroke SeamLine = new(Palette.Black, 0.75), Tick = new(Palette.Black, 0.25), Leader = new(Palette.Black, 0.2);

    /// <summary>Lays the map out on an A4 sheet, landscape.</summary>
    public static Sheet Layout(DoorMapContent content)
    {
        Door door = content.Door;
        OutlineView view = new(content.Plan, door);
        bool showsSeal = RowsOf(content, Characteristic.Compression).Any(r => r is not null);
        (double scale, double band, double width, SeamOnPage seam) = Fitted(view, door, showsSeal, content.Channels.Count > 0 ? LaneMm : 0);
        Ribbon gap = new(seam, Characteristic.Gap, RowsOf(content, Characteristic.Gap), band, band + width);
        Ribbon flush = new(seam, Characteristic.Flush, RowsOf(content, Characteristic.Flush), -band - width, -band);
        List<Ribbon> ribbons = [gap, flush];
        double depth = -band - width * (1 + Ribbon.Beyond);   // of the innermost ribbon, with what may run beyond its edge
        if (showsSeal)
        {
            // The two inner ribbons keep what each may run beyond its edges, and a little paper between.
            double sealWidth = SealShare * width, top = depth - SealSpace * width - Ribbon.Beyond * sealWidth;
            depth = top - sealWidth * (1 + Ribbon.Beyond);
            ribbons.Add(new(seam, Characteristic.Compression, RowsOf(content, Characteristic.Compression), top - sealWidth, top));
        }

        LabelPlacer placer = new(SheetWidth, SheetHeight);
        placer.Take(0, 0, SheetWidth, Margin);
        placer.Take(0, SheetHeight - Margin, SheetWidth, Margin);
        placer.Take(0, 0, Margin, SheetHeight);
        placer.Take(BlockLeft - 2, 0, SheetWidth, SheetHeight);
        Place[] lane = content.Channels.Count > 0 ? seam.Beside(depth - ChannelLayer.HalfRoomMm) : ribbons[^1].Innermost;
        Place Beside(Point3 place) => lane[seam.NearestSample(view, place)];
        placer.TakeBand(content.Channels.Count > 0 ? seam.Beside(depth - LaneMm) : ribbons[^1].Innermost, gap.Outermost);
        foreach (Ribbon ribbon in ribbons)
        {
            for (int i = 0; i < door.Stations.Count; i++)
            {
                Place mark = RibbonLayer.MarkPlace(ribbon, i);
                placer.Take(mark.X - RibbonLayer.MarkRoomMm / 2, mark.Y - RibbonLayer.MarkRoomMm / 2, RibbonLayer.MarkRoomMm, RibbonLayer.MarkRoomMm);
            }
        }
        IReadOnlyList<Shape> guides = Guides(view, scale, placer);
        (IReadOnlyList<Shape> numbers, IReadOnlyList<Shape> zones) = SeamLettering(seam, door, band);

        List<string> further = [];
        bool untouched = content.Rows.All(r => r.Measurement.Value is null);
        if (untouched) placer.TryPlace(new MapLabel([$"no reading of door {door.Code}", "nothing is judged"], new(BlockLeft / 2, SheetHeight / 2)));
        else further.AddRange(placer.Place([.. StationLabels.For(door, [.. ribbons]), .. ChannelLayer.PondWords(content.Channels, content.Attitude, Beside).Select(p => new MapLabel(p.Lines, p.At))], new(BlockLeft / 2, SheetHeight / 2)).Select(l => string.Join(" ", l.Lines)));
        List<Shape> shapes =
        [
            RibbonLayer.Draw(gap, door.Stations.Count, "ribbon-gap"),
            RibbonLayer.Draw(flush, door.Stations.Count, "ribbon-flush"),
            .. ribbons.Skip(2).Select(r => RibbonLayer.Draw(r, door.Stations.Count, "ribbon-seal")),
            new Group("seam", "seam with stations", [.. Ticks(seam, door), new Trail(seam.Curve, SeamLine, Closed: true), .. numbers, .. zones]),
            new Group("guides", "directions and scale", guides),
            .. content.Channels.Count > 0 ? new Shape[] { ChannelLayer.Draw(content.Channels, content.Attitude, door, Beside, s => Beside(s.Position)) } : [],
            new Group("labels", "stations to look at", [.. placer.Placed.SelectMany(p => Draw(p, untouched))]),
            TitleBlock.Draw(content, new Place(BlockLeft, Margin), SheetWidth - Margin - BlockLeft, SheetHeight - 2 * Margin, further),
        ];
        return new Sheet(SheetWidth, SheetHeight, $"{content.Build} {door.Code} outline map", $"Gap and flush of door {door.Code} of build {content.Build} against limits, seen from outside.", shapes);
    }

    // The outline gets what the ribbons and one column of labels on either side leave; small or narrow doors get narrower ribbons, so that the inner one has room.
    internal static (double Scale, double Band, double Width, SeamOnPage Seam) Fitted(OutlineView view, Door door, bool showsSeal, double lane)
    {
        (double Right, double Up)[] at = [.. door.Stations.Select(s => view.At(s.Position))];
        double wide = at.Max(p => p.Right) - at.Min(p => p.Right), high = at.Max(p => p.Up) - at.Min(p => p.Up);
        Place middle = new((Margin + BlockLeft - 2) / 2, SheetHeight / 2 + 2);
        double most = showsSeal ? MostOfThree : MostRibbon, ring = MostBand + most * (1 + Ribbon.Beyond);
        double scale = Math.Min((BlockLeft - 2 - Margin - 2 * ring - 66) / Math.Max(wide, 1e-6), (SheetHeight - 2 * Margin - 2 * ring - 16) / Math.Max(high, 1e-6));
        SeamOnPage seam = new(view, door, middle, scale);
        double inner = showsSeal ? ring + most * (SealSpace + SealShare * (1 + 2 * Ribbon.Beyond)) : ring;
        double share = Math.Min(1, 0.85 * (seam.InnerRoom() - lane) / inner);
        return (scale, MostBand * share, most * share, seam);
    }

    private static ResultRow?[] RowsOf(DoorMapContent content, Characteristic characteristic)
    {
        Dictionary<string, ResultRow> rows = [];
        foreach (ResultRow row in content.Rows)
        {
            if (row.Measurement.Characteristic == characteristic && row.Measurement.Station is string station) rows.TryAdd(station, row);
        }
        return [.. content.Door.Stations.Select(s => rows.GetValueOrDefault(s.Name))];
    }

    internal static IEnumerable<Shape> Ticks(SeamOnPage seam, Door door)
    {
        for (int i = 0; i < door.Stations.Count; i++)
        {
            Place at = seam.Curve[SeamOnPage.SampleOf(i)], out1 = seam.Outward(SeamOnPage.SampleOf(i));
            yield return new Trail([at + -0.9 * out1, at + 0.9 * out1], Tick);
        }
    }

    // Station numbers stand outside the seam, zone names inside it, both in the free band beside it. Where stations are close, numbers are left out, never crowded.
    internal static (IReadOnlyList<Shape> Numbers, IReadOnlyList<Shape> Zones) SeamLettering(SeamOnPage seam, Door door, double band)
    {
        const double capital = Lettering.LeastMm;
        List<Shape> numbers = [], zones = [];
        if (band < capital + 2) return (numbers, zones);
        string[] names = StationNames.Short(door);
        List<(double X, double Y, double W)> boxes = [];
        for (int i = 0; i < names.Length; i++)
        {
            int sample = SeamOnPage.SampleOf(i);
            double w = TextMeasure.WidthMm(names[i], capital);
            Place out1 = seam.Outward(sample);
            Place at = seam.Curve[sample] + (1.2 + Math.Abs(out1.X) * w / 2 + Math.Abs(out1.Y) * capital / 2) * out1;
            if (boxes.Any(b => Math.Abs(b.X - at.X) < (b.W + w) / 2 + 0.9 && Math.Abs(b.Y - at.Y) < capital + 0.9)) continue;
            boxes.Add((at.X, at.Y, w));
            numbers.Add(new Lettering(new(at.X, at.Y + capital / 2), names[i], capital, Anchor: Anchor.Middle, Ink: Palette.Grey));
        }
        foreach ((string zone, int first, int count) in ZoneRuns(door))
        {
            int from = SeamOnPage.SampleOf(first), to = SeamOnPage.SampleOf(first + count - 1), mid = (from + to) / 2 % seam.Samples;
            double length = (seam.Curve[to % seam.Samples] - seam.Curve[from % seam.Samples]).Length;
            if (TextMeasure.WidthMm(zone, capital) > length) continue;
            Place out1 = seam.Outward(mid), at = seam.Curve[mid] + -(1.3 + capital / 2) * out1;
            Place along = new(-out1.Y, out1.X);
            double turn = Math.Atan2(along.Y, along.X) * 180 / Math.PI;
            if (turn > 90) turn -= 180;
            if (turn <= -90) turn += 180;
            double rad = turn * Math.PI / 180;
            Place baseline = at + capital / 2 * new Place(-Math.Sin(rad), Math.Cos(rad));
            zones.Add(new Lettering(baseline, zone, capital, Anchor: Anchor.Middle, TurnDeg: turn));
        }
        return (numbers, zones);
    }

    private static IEnumerable<(string Zone, int First, int Count)> ZoneRuns(Door door)
    {
        int n = door.Stations.Count;
        int start = Enumerable.Range(0, n).FirstOrDefault(i => door.Stations[i].Zone != door.Stations[(i + n - 1) % n].Zone);
        for (int i = 0; i < n;)
        {
            string zone = door.Stations[(start + i) % n].Zone;
            int count = 1;
            while (i + count < n && door.Stations[(start + i + count) % n].Zone == zone) count++;
            yield return (zone, start + i, count);
            i += count;
        }
    }

    internal static List<Shape> Guides(OutlineView view, double scale, LabelPlacer placer)
    {
        const double capital = Lettering.LeastMm, arm = 11;
        List<Shape> shapes = [];
        Place origin = new(Margin + 17, Margin + 16);
        Arrow(view.Forward, "forward");
        Arrow(view.Up, "up");
        double length = new[] { 1000.0, 500, 200, 100, 50, 20, 10 }.First(l => l * scale <= 45 || l == 10);
        double x = Margin + 3, y = SheetHeight - Margin - 3;
        Stroke line = new(Palette.Black, 0.35);
        shapes.Add(Trail.Line(x, y, x + length * scale, y, line));
        shapes.Add(Trail.Line(x, y - 1, x, y + 1, line));
        shapes.Add(Trail.Line(x + length * scale, y - 1, x + length * scale, y + 1, line));
        shapes.Add(new Lettering(new(x + length * scale / 2, y - 1.6), Invariant($"{length:0} mm on the outline"), capital, Anchor: Anchor.Middle));
        placer.Take(Margin, y - 6, Math.Max(length * scale + 6, 42), 9);
        placer.Take(Margin, Margin, 36, 30);
        return shapes;

        void Arrow((double Right, double Up) direction, string word)
        {
            double size = Math.Sqrt(direction.Right * direction.Right + direction.Up * direction.Up);
            if (size < 0.3) return;   // points out of the sheet
            Place d = new(direction.Right / size, -direction.Up / size), side = new(-d.Y, d.X), tip = origin + arm * d;
            shapes.Add(new Trail([origin, tip], new Stroke(Palette.Black, 0.4)));
            shapes.Add(new Trail([tip, tip + -2.4 * d + 0.9 * side, tip + -2.4 * d + -0.9 * side], null, Palette.Black, Closed: true));
            double w = TextMeasure.WidthMm(word, capital);
            Place at = Math.Abs(d.X) > Math.Abs(d.Y) ? new Place(origin.X + arm / 2 * Math.Sign(d.X), origin.Y + capital + 1.4) : new Place(tip.X + 1.8 + w / 2, tip.Y + capital / 2);
            shapes.Add(new Lettering(at, word, capital, Anchor: Anchor.Middle));
        }
    }

    internal static IEnumerable<Shape> Draw(PlacedLabel placed, bool untouched)
    {
        if (!untouched) yield return new Trail([placed.Label.Anchor, placed.LeaderEnd], Leader);
        for (int i = 0; i < placed.Label.Lines.Count; i++)
        {
            yield return new Lettering(new(placed.Corner.X + 0.6, placed.Corner.Y + 0.4 + MapLabel.CapitalMm + 0.5 + i * MapLabel.PitchMm), placed.Label.Lines[i], MapLabel.CapitalMm,
                i == 0 ? Weight.Semibold : Weight.Regular);
        }
    }
}
