using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Seals;

namespace GapFlush.Reports.Seals;

/// <summary>The seal strip: compression against distance round the door, the allowed band shaded, zones and corners marked, leak runs named, the aged seal as a second line.</summary>
/// <remarks>Read and predicted stations differ in shape (full and open discs), today and aged in the kind of line; nothing is told by colour alone.</remarks>
public static class SealStrip
{
    private const double Width = 180, Left = 17, Right = 5, Top = 16, PlotHeight = 50, Text = Lettering.LeastMm, Pitch = 4;
    private const double PlotWidth = Width - Left - Right, Bottom = Top + PlotHeight, StationLine = Bottom + 4.5, ZoneTop = Bottom + 6.5, ZoneHeight = 4.6, RunTop = ZoneTop + ZoneHeight + 2.5;
    private static readonly Stroke Thin = new(Palette.Light, 0.2), Today = new(Palette.Black, 0.45), Aged = new(Palette.Blue, 0.45, [1.8, 1.0]), Whisker = new(Palette.Grey, 0.25), Limit = new(Palette.Grey, 0.3), Axis = new(Palette.Black, 0.3);

    /// <summary>Draws the strip of a door.</summary>
    public static Sheet Draw(DoorSeal seal)
    {
        Door door = seal.Door;
        Frame frame = new(seal);
        List<Shape> shapes =
        [
            new Lettering(new(Left, 5.5), TextMeasure.Fit($"Seal of door {door.Code}: {seal.ShortWords}", PlotWidth, 3.2, Weight.Semibold), 3.2, Weight.Semibold),
            new Lettering(new(Left, 11), TextMeasure.Fit(Invariant($"compression, % of free height, once round from station {door.Stations[0].Name} in station order; {seal.Ring.PerimeterMm:0} mm along the seam"), PlotWidth, Text), Text, Ink: Palette.Grey),
            new Group("band", "allowed band", [.. Band(seal, frame)]),
            new Group("scale", "scale", [.. ScaleOf(frame)]),
        ];
        if (seal.AgedStations is not null) shapes.Add(new Group("aged", "compression at the plan's set", [.. Curve(seal.AgedStations, frame, Aged)]));
        shapes.Add(new Group("whiskers", "expanded uncertainty", [.. Whiskers(seal, frame)]));
        shapes.Add(new Group("today", "compression today", [.. Curve(seal.Stations, frame, Today), .. Dots(seal.Stations, frame)]));
        shapes.Add(Trail.Box(Left, Top, PlotWidth, PlotHeight, Axis));
        shapes.Add(new Group("stations", "stations", [.. StationNumbers(door, frame)]));
        (List<Shape> zones, string? key) = Zones(door, frame);
        shapes.Add(new Group("zones", "zones and corners", zones));
        double y = RunTop;
        List<Shape> runs = [];
        foreach ((IReadOnlyList<LeakRun> leaks, string name, bool aged) in new[] { (seal.Leaks, "leak", false), (seal.AgedLeaks, "aged leak", true) })
        {
            if (leaks.Count == 0) continue;
            runs.AddRange(RunRow(leaks, name, aged, frame, ref y));
        }
        shapes.Add(new Group("leaks", "leak runs", runs));
        List<string> legend = [];
        if (key is not null) legend.Add(key);
        legend.Add($"Shaded: allowed band. Full line: today{(seal.AgedStations is null ? "" : "; broken line: when the seal has taken the plan's set")}. Whisker: U.");
        legend.Add($"{(seal.Predicted.Count > 0 ? "Full disc: land gap read; open disc: predicted. " : "")}Thick bar: leak run. Cross-lined zone bar: corner.");
        foreach (string line in legend.SelectMany(l => TextMeasure.Wrap(l, Width - 2 * Right, Text)))
        {
            y += Pitch;
            shapes.Add(new Lettering(new(Right, y), line, Text, Ink: Palette.Grey));
        }
        return new(Width, y + 2.5, $"Seal strip of door {door.Code}", $"Compression of the seal of door {door.Code} against distance round the door: {seal.ShortWords}.", shapes);
    }

    // Where distances and compressions stand on the strip.
    private sealed class Frame
    {
        private readonly double _low, _high, _perimeter;
        private readonly Dictionary<string, double> _expanded;

        public Frame(DoorSeal seal)
        {
            _expanded = seal.Compressions.ToDictionary(c => c.Station!, c => c.ExpandedUncertainty ?? 0);
            List<double> all = [0];
            foreach (SealStation s in seal.Stations)
            {
                all.AddRange(new[] { s.LeastPercent, s.MostPercent, s.CompressionPercent }.OfType<double>());
                if (s.CompressionPercent is double c) all.AddRange([c - Expanded(s), c + Expanded(s)]);
            }
            all.AddRange((seal.AgedStations ?? []).Select(s => s.CompressionPercent).OfType<double>());
            // A reading far out of reason must not press all others flat; it is drawn at the edge, and told in words.
            _low = Math.Max(-40, 10 * Math.Floor(all.Min() / 10));
            _high = Math.Min(120, 10 * Math.Ceiling((all.Max() + 1) / 10));
            _perimeter = seal.Ring.PerimeterMm;
        }

        public double Low => _low;

        public double High => _high;

        public double PerimeterMm => _perimeter;

        public double X(double alongMm) => Left + alongMm / _perimeter * PlotWidth;

        public double Y(double percent) => Bottom - (Math.Clamp(percent, _low, _high) - _low) / (_high - _low) * PlotHeight;

        /// <summary>Expanded uncertainty of a station's compression; 0 where it is not known, which draws no whisker.</summary>
        public double Expanded(SealStation s) => _expanded.GetValueOrDefault(s.Station);
    }

    // Each station's band holds to the middle between it and its neighbours, as it is judged.
    private static IEnumerable<(SealStation Station, double FromMm, double ToMm)> Spans(DoorSeal seal)
    {
        IReadOnlyList<SealStation> s = seal.Stations;
        double perimeter = seal.Ring.PerimeterMm, turn = (s[^1].AlongMm + s[0].AlongMm + perimeter) / 2;
        for (int i = 0; i < s.Count; i++)
        {
            double from = i == 0 ? s[0].AlongMm : (s[i - 1].AlongMm + s[i].AlongMm) / 2, to = i == s.Count - 1 ? Math.Min(turn, perimeter) : (s[i].AlongMm + s[i + 1].AlongMm) / 2;
            yield return (s[i], from, to);
        }
        if (turn < perimeter) yield return (s[0], turn, perimeter);
    }

    private static IEnumerable<Shape> Band(DoorSeal seal, Frame frame)
    {
        foreach ((SealStation station, double from, double to) in Spans(seal))
        {
            if (!station.HasSeal || (station.LeastPercent is null && station.MostPercent is null)) continue;
            double top = frame.Y(station.MostPercent ?? frame.High), bottom = frame.Y(station.LeastPercent ?? frame.Low), x = frame.X(from), end = frame.X(to);
            yield return Trail.Box(x, top, end - x, bottom - top, null, Palette.Wash);
            if (station.MostPercent is not null) yield return Trail.Line(x, top, end, top, Limit);
            if (station.LeastPercent is not null) yield return Trail.Line(x, bottom, end, bottom, Limit);
        }
    }

    private static IEnumerable<Shape> ScaleOf(Frame frame)
    {
        double step = frame.High - frame.Low > 80 ? 20 : 10;
        for (double c = Math.Ceiling(frame.Low / step) * step; c <= frame.High + 1e-9; c += step)
        {
            if (c > frame.Low && c < frame.High) yield return Trail.Line(Left, frame.Y(c), Left + PlotWidth, frame.Y(c), c == 0 ? new(Palette.Grey, 0.25) : Thin);
            yield return new Lettering(new(Left - 1.6, frame.Y(c) + Text / 2), Invariant($"{c:0}"), Text, Anchor: Anchor.End, Ink: Palette.Grey);
        }
        yield return new Lettering(new(Left - 1.6, Top - 2.2), "%", Text, Anchor: Anchor.End, Ink: Palette.Grey);
    }

    private static IEnumerable<Shape> Curve(IReadOnlyList<SealStation> stations, Frame frame, Stroke stroke)
    {
        List<Place> run = [];
        for (int i = 0; i <= stations.Count; i++)
        {
            SealStation s = stations[i % stations.Count];
            if (s.HasSeal && s.CompressionPercent is double c)
            {
                run.Add(new(frame.X(i < stations.Count ? s.AlongMm : frame.PerimeterMm), frame.Y(c)));
                continue;
            }
            if (run.Count > 1) yield return new Trail(run, stroke);
            run = [];
        }
        if (run.Count > 1) yield return new Trail(run, stroke);
    }

    private static IEnumerable<Shape> Whiskers(DoorSeal seal, Frame frame)
    {
        foreach (SealStation s in seal.Stations)
        {
            if (s.CompressionPercent is not double c || !(frame.Expanded(s) > 0)) continue;
            double x = frame.X(s.AlongMm), low = frame.Y(c - frame.Expanded(s)), high = frame.Y(c + frame.Expanded(s));
            yield return Trail.Line(x, low, x, high, Whisker);
            if (low - high < 1.6) continue;
            yield return Trail.Line(x - 0.5, low, x + 0.5, low, Whisker);
            yield return Trail.Line(x - 0.5, high, x + 0.5, high, Whisker);
        }
    }

    private static IEnumerable<Shape> Dots(IReadOnlyList<SealStation> stations, Frame frame) =>
        stations.Where(s => s.CompressionPercent is not null).Select(s => new Disc(new(frame.X(s.AlongMm), frame.Y(s.CompressionPercent!.Value)), 0.75, new(Palette.Black, 0.3), s.IsPredicted ? Palette.White : Palette.Black));

    private static IEnumerable<Shape> StationNumbers(Door door, Frame frame)
    {
        double last = double.NegativeInfinity;
        foreach (Station s in door.Stations)
        {
            double x = frame.X(s.AlongMm), half = TextMeasure.WidthMm(s.Name, Text) / 2;
            yield return Trail.Line(x, Bottom, x, Bottom + 1, Axis);
            if (x - half < last + 1.5) continue;
            last = x + half;
            yield return new Lettering(new(x, StationLine), s.Name, Text, Anchor: Anchor.Middle, Ink: Palette.Grey);
        }
    }

    // A bar a zone run; a name that does not fit in its bar is a letter there and told below.
    private static (List<Shape> Shapes, string? Key) Zones(Door door, Frame frame)
    {
        List<Shape> shapes = [];
        List<string> keys = [];
        Dictionary<string, char> letters = [];
        int n = door.Stations.Count;
        for (int i = 0; i < n;)
        {
            int last = i;
            while (last + 1 < n && door.Stations[last + 1].Zone == door.Stations[i].Zone) last++;
            string zone = door.Stations[i].Zone;
            double from = i == 0 ? 0 : (door.Stations[i - 1].AlongMm + door.Stations[i].AlongMm) / 2, to = last == n - 1 ? frame.PerimeterMm : (door.Stations[last].AlongMm + door.Stations[last + 1].AlongMm) / 2;
            double x = frame.X(from), w = frame.X(to) - x;
            bool corner = zone.Contains("corner", StringComparison.OrdinalIgnoreCase);
            shapes.Add(new Trail([new(x, ZoneTop), new(x + w, ZoneTop), new(x + w, ZoneTop + ZoneHeight), new(x, ZoneTop + ZoneHeight)], Axis, Closed: true, Hatch: corner ? new(Palette.Light, 0.9, 45, 0.2) : null));
            if (i > 0) shapes.Add(Trail.Line(x, Top, x, Bottom, new(Palette.Grey, 0.2, [0.8, 0.8])));
            string shown = zone;
            if (TextMeasure.WidthMm(zone, Text) > w - 1.5)
            {
                if (!letters.TryGetValue(zone, out char letter))
                {
                    letters[zone] = letter = (char)('A' + letters.Count);
                    keys.Add($"{letter} {zone}");
                }
                shown = letter.ToString();
            }
            double half = TextMeasure.WidthMm(shown, Text) / 2 + 0.4;
            if (2 * half < w)
            {
                if (corner) shapes.Add(Trail.Box(x + w / 2 - half, ZoneTop + 0.5, 2 * half, ZoneHeight - 1, null, Palette.White));
                shapes.Add(new Lettering(new(x + w / 2, ZoneTop + ZoneHeight / 2 + Text / 2), shown, Text, Anchor: Anchor.Middle));
            }
            i = last + 1;
        }
        return (shapes, keys.Count == 0 ? null : $"Zones: {string.Join(", ", keys)}.");
    }

    // Bars under the zones, a name beside each; names that would meet step down a line.
    private static List<Shape> RunRow(IReadOnlyList<LeakRun> leaks, string name, bool aged, Frame frame, ref double y)
    {
        List<Shape> shapes = [];
        double top = y + 0.6;
        List<double> ends = [];
        for (int k = 0; k < leaks.Count; k++)
        {
            LeakRun leak = leaks[k];
            (double from, double to) = (leak.Run.FromMm, leak.Run.ToMm);
            List<(double From, double To)> parts = leak.Run.LengthMm >= frame.PerimeterMm ? [(0, frame.PerimeterMm)] : to >= from ? [(from, to)] : [(from, frame.PerimeterMm), (0, to)];
            foreach ((double a, double b) in parts)
            {
                double x = frame.X(a), w = Math.Max(0.8, frame.X(b) - x);
                shapes.Add(Trail.Box(x, top, w, 1.6, new(aged ? Palette.Blue : Palette.Black, 0.25), aged ? Palette.White : Palette.Red));
            }
            string words = Invariant($"{name}{(leaks.Count > 1 ? Invariant($" {k + 1}") : "")}: {leak.Run.LengthMm:0} mm");
            double width = TextMeasure.WidthMm(words, Text, Weight.Semibold), place = Math.Clamp(frame.X(parts[0].From), Left, Left + PlotWidth - width);
            int line = ends.FindIndex(e => e + 2 < place);
            if (line < 0)
            {
                line = ends.Count;
                ends.Add(0);
            }
            ends[line] = place + width;
            shapes.Add(new Lettering(new(place, top + 1.6 + (line + 1) * Pitch - 0.6), words, Text, Weight.Semibold));
        }
        y = top + 1.6 + ends.Count * Pitch + 0.4;
        return shapes;
    }
}
