using GapFlush.Plan;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Maps;

/// <summary>The sheet on which a door is logged by hand: its outline with the stations in walking order, and a table to write in. A4 upright, as many pages as the stations need.</summary>
/// <remarks>Limits are left off on purpose, so that nobody reads towards them.</remarks>
public static class RouteSheet
{
    private const double SheetWidth = 210, SheetHeight = 297, Margin = 12, Capital = Lettering.LeastMm, RowHeight = 6.5, HeadHeight = 11, Between = 6;
    private const double OutlineHeight = 92, NameWidth = 15, FootHeight = 12;
    private const int Blocks = 2;
    private static readonly Stroke Rule = new(Palette.Grey, 0.2), Strong = new(Palette.Black, 0.35), Seam = new(Palette.Black, 0.6), Tick = new(Palette.Black, 0.25);

    /// <summary>What is read at the stations of a door: gap and flush, and whatever else has a limit there.</summary>
    public static IReadOnlyList<Characteristic> ToRead(FitPlan plan, Door door) => [.. Characteristic.All.Where(c => c.IsRead && c.Scope == CharacteristicScope.Station
        && (c == Characteristic.Gap || c == Characteristic.Flush || door.Stations.Any(s => plan.Limits.Rows.Any(r => r.Covers(c, door.Code, s.Zone, s.Name, r.Stage)))))];

    /// <summary>Lays out the pages.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="door">The door to be read.</param>
    public static IReadOnlyList<Sheet> Layout(FitPlan plan, Door door)
    {
        IReadOnlyList<Characteristic> read = ToRead(plan, door);
        int repeats = read.Count > 2 ? 2 : 3;
        string title = $"Route sheet, door {door.Code}";
        List<List<Shape>> pages = [];
        for (int first = 0; first < door.Stations.Count || pages.Count == 0;)
        {
            List<Shape> shapes = [];
            double y = pages.Count == 0 ? Head(plan, door, shapes) : LaterHead(title, shapes);
            int rows = (int)((SheetHeight - Margin - FootHeight - y - HeadHeight) / RowHeight), left = door.Stations.Count - first;
            // The last page is filled evenly, so that both blocks are read top to bottom.
            int perBlock = Math.Min(rows, (left + Blocks - 1) / Blocks);
            for (int block = 0; block < Blocks && first < door.Stations.Count; block++)
            {
                int count = Math.Min(perBlock, door.Stations.Count - first);
                double width = (SheetWidth - 2 * Margin - (Blocks - 1) * Between) / Blocks;
                shapes.Add(Table(door, first, count, read, repeats, new Box(Margin + block * (width + Between), y, width, HeadHeight + count * RowHeight)));
                first += count;
            }
            pages.Add(shapes);
        }
        return [.. pages.Select((shapes, i) => new Sheet(SheetWidth, SheetHeight, title, $"Stations of door {door.Code} in walking order, with a table to write readings in.",
            [.. shapes, Foot(i + 1, pages.Count)]))];
    }

    /// <summary>The pages one below the other on a single sheet, for a kind of file that holds one picture.</summary>
    public static Sheet LayoutOnOne(FitPlan plan, Door door)
    {
        IReadOnlyList<Sheet> pages = Layout(plan, door);
        return pages[0] with { HeightMm = SheetHeight * pages.Count, Shapes = [.. pages.SelectMany((page, i) => page.Shapes.Select(s => ShapeMove.By(s, 1, 0, i * SheetHeight)))] };
    }

    private static double LaterHead(string title, List<Shape> shapes)
    {
        double y = Margin + 5;
        shapes.Add(new Lettering(new(Margin, y), title + ", continued", 3.5, Weight.Semibold));
        Field("Build", 100, 45, y, shapes);
        Field("Date", 154, 44, y, shapes);
        return y + 6;
    }

    private static double Head(FitPlan plan, Door door, List<Shape> shapes)
    {
        double inner = SheetWidth - 2 * Margin, y = Margin + 5;
        shapes.Add(new Lettering(new(Margin, y), TextMeasure.Fit($"Route sheet, door {door.Code}: {door.Title}", inner, 4, Weight.Semibold), 4, Weight.Semibold));
        y += 6.5;
        string issue = plan.Issue is null ? "" : $", issue {plan.Issue}";
        foreach (string line in TextMeasure.Wrap($"{plan.AircraftType}, plan {plan.Name}{issue}. Gap {door.GapDefinition.Code}, positive when open; flush {door.FlushDefinition.Code}, "
            + "positive where the door stands proud. Millimetres. Leave a place empty rather than guess, and say why in the note.", inner, Capital))
        {
            shapes.Add(new Lettering(new(Margin, y), line, Capital));
            y += 4.3;
        }
        y += 4.5;
        double third = (inner - 8) / 3;
        (string Name, int Column, int Row)[] fields = [("Build", 0, 0), ("Stage", 1, 0), ("Temperature °C", 2, 0), ("Gap gauge", 0, 1), ("Flush gauge", 1, 1), ("Date, time", 2, 1), ("Name", 0, 2)];
        foreach ((string name, int column, int row) in fields) Field(name, Margin + column * (third + 4), third, y + row * 8, shapes);
        Field("Note", Margin + third + 4, 2 * third + 4, y + 16, shapes);
        y += 20;
        shapes.Add(Outline(plan, door, new Box(Margin, y, inner, OutlineHeight)));
        return y + OutlineHeight + 3;
    }

    private static void Field(string name, double x, double width, double y, List<Shape> shapes)
    {
        double after = x + TextMeasure.WidthMm(name, Capital) + 1.5;
        shapes.Add(new Lettering(new(x, y), name, Capital, Ink: Palette.Grey));
        shapes.Add(Trail.Line(after, y + 0.6, x + width, y + 0.6, Rule));
    }

    private static Group Foot(int page, int pages)
    {
        List<Shape> shapes = [];
        IReadOnlyList<string> caution = TextMeasure.Wrap(TitleBlock.Caution, SheetWidth - 2 * Margin - 20, Capital);
        double y = SheetHeight - Margin - (caution.Count - 1) * 4.2;
        foreach (string line in caution)
        {
            shapes.Add(new Lettering(new(Margin, y), line, Capital, Ink: Palette.Grey));
            y += 4.2;
        }
        shapes.Add(new Lettering(new(SheetWidth - Margin, SheetHeight - Margin), Invariant($"{page} of {pages}"), Capital, Anchor: Anchor.End, Ink: Palette.Grey));
        return new Group(Invariant($"foot-{page}"), "caution and page", shapes);
    }

    private static Group Table(Door door, int first, int count, IReadOnlyList<Characteristic> read, int repeats, Box box)
    {
        List<Shape> shapes = [];
        double cell = (box.Width - NameWidth) / (read.Count * repeats), heads = box.Top + HeadHeight;
        shapes.Add(new Lettering(new(box.Left + 1, heads - 1.8), "station", Capital));
        for (int c = 0; c < read.Count; c++)
        {
            double x = box.Left + NameWidth + c * repeats * cell;
            string words = read[c] == Characteristic.LandGap ? "land gap" : read[c].Words;
            shapes.Add(new Lettering(new(x + repeats * cell / 2, box.Top + 4), TextMeasure.Fit(words, repeats * cell - 1, Capital, Weight.Semibold), Capital, Weight.Semibold, Anchor.Middle));
            for (int r = 0; r < repeats; r++)
            {
                shapes.Add(new Lettering(new(x + (r + 0.5) * cell, heads - 1.8), Invariant($"{r + 1}"), Capital, Anchor: Anchor.Middle, Ink: Palette.Grey));
                shapes.Add(Trail.Line(x + r * cell, r == 0 ? box.Top : box.Top + HeadHeight / 2, x + r * cell, box.Bottom, r == 0 ? Strong : Rule));
            }
        }
        for (int i = 0; i < count; i++)
        {
            double y = heads + i * RowHeight;
            Station station = door.Stations[first + i];
            bool newZone = first + i == 0 || station.Zone != door.Stations[first + i - 1].Zone;
            shapes.Add(Trail.Line(box.Left, y, box.Right, y, i == 0 || newZone ? Strong : Rule));
            shapes.Add(new Lettering(new(box.Left + 1, y + (RowHeight + Capital) / 2), TextMeasure.Fit(station.Name, NameWidth - 1.5, Capital), Capital));
        }
        shapes.Add(Trail.Box(box.Left, box.Top, box.Width, box.Height, Strong));
        return new Group(Invariant($"table-{first + 1}"), Invariant($"stations {first + 1} to {first + count} in walking order"), shapes);
    }

    private static Group Outline(FitPlan plan, Door door, Box room)
    {
        const double around = 15, arrowInside = 3.4;
        OutlineView view = new(plan, door);
        (double Right, double Up)[] at = [.. door.Stations.Select(s => view.At(s.Position))];
        double wide = at.Max(p => p.Right) - at.Min(p => p.Right), high = at.Max(p => p.Up) - at.Min(p => p.Up);
        double scale = Math.Min((room.Width - 2 * around - 40) / Math.Max(wide, 1e-6), (room.Height - 2 * around) / Math.Max(high, 1e-6));
        SeamOnPage seam = new(view, door, room.Centre, scale);
        List<Shape> shapes = [new Trail(seam.Curve, Seam, Closed: true)];
        string[] names = StationNames.Short(door);
        List<Box> taken = [];
        int n = names.Length;
        for (int i = 0; i < n; i++)
        {
            int sample = SeamOnPage.SampleOf(i);
            Place on = seam.Curve[sample], outward = seam.Outward(sample);
            shapes.Add(new Trail([on + -0.9 * outward, on + 0.9 * outward], Tick));
            // Close stations stand in two rows; what finds no place in either is told by the order of the table.
            foreach (double away in (double[])[1.4, 5.2])
            {
                double width = TextMeasure.WidthMm(names[i], Capital);
                Place middle = on + (away + Math.Abs(outward.X) * width / 2 + Math.Abs(outward.Y) * Capital / 2) * outward;
                Lettering number = new(new(middle.X, middle.Y + Capital / 2), names[i], Capital, i == 0 ? Weight.Semibold : Weight.Regular, Anchor.Middle);
                if (taken.Any(t => t.Overlaps(number.Box.Grow(0.2)))) continue;
                taken.Add(number.Box);
                if (away > 2) shapes.Add(new Trail([on + 0.9 * outward, on + (away - 0.4) * outward], new Stroke(Palette.Light, 0.15)));
                shapes.Add(number);
                break;
            }
        }
        int arrows = Math.Min(n, 8);
        for (int a = 0; a < arrows; a++)
        {
            int sample = (SeamOnPage.SampleOf(a * n / arrows) + SeamOnPage.SampleOf(1) / 2) % seam.Samples;
            Place middle = seam.Curve[sample] + -arrowInside * seam.Outward(sample), way = Way(seam, sample);
            Place side = new(-way.Y, way.X), tip = middle + 2.2 * way;
            shapes.Add(new Trail([middle + -2.2 * way, tip + -1.4 * way], new Stroke(Palette.Black, 0.4)));
            shapes.Add(new Trail([tip, tip + -1.8 * way + 0.8 * side, tip + -1.8 * way + -0.8 * side], null, Palette.Black, Closed: true));
        }
        shapes.Add(new Disc(seam.Curve[0], 1.2, new Stroke(Palette.Black, 0.4), Palette.White));
        double x = room.Left, y = room.Top + 4;
        shapes.Add(new Lettering(new(x, y), "Seen from outside.", Capital));
        shapes.Add(new Lettering(new(x, y + 4.3), $"Begin at {names[0]} (ring),", Capital));
        shapes.Add(new Lettering(new(x, y + 8.6), "follow the arrows.", Capital));
        Direction(view.Forward, "forward", room.Right - 20, room.Top + 12);
        return new Group("outline", "outline with the stations in walking order", shapes);

        void Direction((double Right, double Up) direction, string word, double cx, double cy)
        {
            double size = Math.Sqrt(direction.Right * direction.Right + direction.Up * direction.Up);
            if (size < 0.3) return;   // points out of the sheet
            Place d = new(direction.Right / size, -direction.Up / size), side = new(-d.Y, d.X), centre = new(cx, cy), tip = centre + 6 * d;
            shapes.Add(new Trail([centre + -6 * d, tip + -1.5 * d], new Stroke(Palette.Black, 0.4)));
            shapes.Add(new Trail([tip, tip + -2.4 * d + 0.9 * side, tip + -2.4 * d + -0.9 * side], null, Palette.Black, Closed: true));
            shapes.Add(new Lettering(new(cx, cy + (Math.Abs(d.Y) > 0.5 ? 10 : 2) + Capital), word, Capital, Anchor: Anchor.Middle));
        }
    }

    private static Place Way(SeamOnPage seam, int sample)
    {
        Place step = seam.Curve[(sample + 1) % seam.Samples] - seam.Curve[sample];
        return 1 / Math.Max(1e-9, step.Length) * step;
    }
}
