using GapFlush.Geometry;
using GapFlush.Reports.Drawing;
using GapFlush.Sections;

namespace GapFlush.Reports.Sections;

/// <summary>One section as an engineering drawing: points, both outlines, gap and flush dimensioned between the places they are taken at. To scale; nothing is stretched.</summary>
internal sealed class SectionPanel
{
    private const double Capital = Lettering.LeastMm, Line = 4.1, Arrow = 2.4, MostDots = 420, MostCrosses = 160;
    private static readonly double[] Scales = [20, 10, 5, 2, 1];   // enlargements of ISO 5455 [from memory]
    private static readonly Stroke Fitted = new(Palette.Black, 0.45), Unseen = new(Palette.Black, 0.3, [0.6, 0.7]), Thin = new(Palette.Black, 0.18), Nominal = new(Palette.Grey, 0.18, [1.6, 1.1]), Chain = new(Palette.Black, 0.18, [3, 0.8, 0.5, 0.8]), Aside = new(Palette.Red, 0.2);

    private readonly SectionPanelContent _content;
    private readonly Box _window;
    private readonly double _scale, _left, _top;
    private readonly List<Shape> _shapes = [];

    private SectionPanel(SectionPanelContent content, Box box)
    {
        _content = content;
        double need = content.Picture.NominalGapMm + 9;
        _scale = Scales.FirstOrDefault(s => s * need <= box.Width, Scales[^1]);
        _window = new(box.Left, box.Top + 17, box.Width, box.Height - 17 - 2 * Line - 9);
        // The seam's middle in the middle; a sixth of the height is air.
        (_left, _top) = (-_window.Width / 2 / _scale, _window.Height / 6 / _scale);
    }

    /// <summary>Draws a section into a box.</summary>
    public static IReadOnlyList<Shape> Draw(SectionPanelContent content, Box box)
    {
        SectionPanel panel = new(content, box);
        panel.Head(box);
        panel.Solid(content.Picture.Surround, false);
        panel.Solid(content.Picture.Door, true);
        panel.NominalPlaces();
        panel.Points();
        foreach ((IReadOnlyList<Point2> course, bool isSeen) in content.Picture.Runs) panel.Course(course, isSeen ? Fitted : Unseen);
        foreach (IReadOnlyList<Point2> carried in content.Picture.Carried) panel.Course(carried, Chain);
        if (content.Picture.Gap is SectionDimension gap) panel.Gap(gap);
        if (content.Picture.Flush is SectionDimension flush) panel.Flush(flush);
        panel.Foot(box);
        return panel._shapes;
    }

    private Place On(Point2 p) => new(_window.Left + _scale * (p.X - _left), _window.Top + _scale * (_top - p.Y));

    private void Head(Box box)
    {
        double x = box.Left;
        if (_content.Mark is Mark mark)
        {
            _shapes.AddRange(MarkShapes.At(mark, new(x + 1.8, box.Top + 2.2), 3.2));
            x += 5;
        }
        string scale = Invariant($"{_scale:0}:1");
        double room = box.Right - x - TextMeasure.WidthMm(scale, Capital, Weight.Regular) - 2;
        _shapes.Add(new Lettering(new(x, box.Top + 3.4), TextMeasure.Fit(_content.Title, room, 2.8, Weight.Semibold), 2.8, Weight.Semibold));
        _shapes.Add(new Lettering(new(box.Right, box.Top + 3.4), scale, Capital, Anchor: Anchor.End, Ink: Palette.Grey));
    }

    // The side's material, as far as the window shows it.
    private void Solid(IReadOnlyList<Point2> course, bool isDoor)
    {
        Place[] inside = [.. Clipped(course).SelectMany(s => (Place[])[s.From, s.To])];
        if (inside.Length == 0) return;
        double corner = isDoor ? _window.Right : _window.Left;
        _shapes.Add(new Trail([new(corner, inside[0].Y), .. inside, new(inside[^1].X, _window.Bottom), new(corner, _window.Bottom)], null, Palette.Wash, Closed: true));
    }

    private void NominalPlaces()
    {
        double half = _content.Picture.NominalGapMm / 2, far = _window.Width;
        foreach (int side in new[] { -1, 1 }) Course([new(side * far, 0), new(side * half, 0), new(side * half, -far)], Nominal);
    }

    private void Points()
    {
        (Place At, SectionPointRole Role)[] seen = [.. _content.Picture.Points.Select(p => (On(p.Place), p.Role)).Where(p => _window.Contains(p.Item1))];
        Place[] dots = [.. seen.Where(p => p.Role != SectionPointRole.SetAside).Select(p => p.At)], crosses = [.. seen.Where(p => p.Role == SectionPointRole.SetAside).Select(p => p.At)];
        foreach (Place p in Some(dots, MostDots)) _shapes.Add(new Disc(p, 0.28, null, Palette.Blue));
        foreach (Place p in Some(crosses, MostCrosses))
        {
            _shapes.Add(Trail.Line(p.X - 0.55, p.Y - 0.55, p.X + 0.55, p.Y + 0.55, Aside));
            _shapes.Add(Trail.Line(p.X - 0.55, p.Y + 0.55, p.X + 0.55, p.Y - 0.55, Aside));
        }

        static IEnumerable<Place> Some(Place[] all, double most) => all.Where((_, i) => i % Math.Max(1, (int)Math.Ceiling(all.Length / most)) == 0);
    }

    private void Course(IReadOnlyList<Point2> course, Stroke stroke)
    {
        List<Place> run = [];
        foreach ((Place from, Place to) in Clipped(course))
        {
            if (run.Count > 0 && (run[^1] - from).Length > 1e-6)
            {
                _shapes.Add(new Trail([.. run], stroke));
                run.Clear();
            }
            if (run.Count == 0) run.Add(from);
            run.Add(to);
        }
        if (run.Count > 1) _shapes.Add(new Trail([.. run], stroke));
    }

    private IEnumerable<(Place From, Place To)> Clipped(IReadOnlyList<Point2> course)
    {
        for (int i = 1; i < course.Count; i++)
        {
            (Place a, Place b) = (On(course[i - 1]), On(course[i]));
            // Liang and Barsky: the part of the line between each pair of edges, as a range of its parameter.
            (double enter, double leave) = (0, 1);
            Place d = b - a;
            if (Cut(-d.X, a.X - _window.Left) && Cut(d.X, _window.Right - a.X) && Cut(-d.Y, a.Y - _window.Top) && Cut(d.Y, _window.Bottom - a.Y)) yield return (a + enter * d, a + leave * d);

            bool Cut(double p, double q)
            {
                if (p == 0) return q >= 0;
                if (p < 0) enter = Math.Max(enter, q / p);
                else leave = Math.Min(leave, q / p);
                return enter < leave;
            }
        }
    }

    // Extension lines up from both places, a line between them, the value above it.
    private void Gap(SectionDimension gap)
    {
        (Place from, Place to) = (On(gap.From), On(gap.To));
        Place along = new(gap.Along.X, -gap.Along.Y), up = new(along.Y, -along.X);
        double level = up.Dot(new((from.X + to.X) / 2, _window.Top - 1.5));
        (Place a, Place b) = (from + (level - up.Dot(from)) * up, to + (level - up.Dot(to)) * up);
        foreach ((Place start, Place end) in new[] { (from, a), (to, b) }) _shapes.Add(new Trail([start + 0.8 * up, end + 0.9 * up], Thin));
        double room = (b - a).Dot(along), sense = room < 0 ? -1 : 1;
        if (Math.Abs(room) > 3 * Arrow)
        {
            _shapes.Add(new Trail([a, b], Thin));
            Head(a, -sense * along);
            Head(b, sense * along);
        }
        else
        {
            _shapes.Add(new Trail([a + -sense * 2.2 * Arrow * along, b + sense * 2.2 * Arrow * along], Thin));
            Head(a, sense * along);
            Head(b, -sense * along);
        }
        Text(new((a.X + b.X) / 2, Math.Min(a.Y, b.Y) - 1.9), _content.GapWords);
    }

    // Arrows from outside, because a flush is small; the tail below runs to its value under the window.
    private void Flush(SectionDimension flush)
    {
        (Place from, Place to) = (On(flush.From), On(flush.To));
        Place outward = new(flush.Along.X, -flush.Along.Y);
        (Place high, Place low) = outward.Dot(from) > outward.Dot(to) ? (from, to) : (to, from);
        _shapes.Add(new Trail([high, high + 1.9 * Arrow * outward], Thin));
        Head(high, -1 * outward);
        double down = (_window.Bottom + 0.8 - low.Y) / -outward.Y;
        _shapes.Add(new Trail([low, low + -down * outward], Thin));
        Head(low, outward);
        if ((high - low).Length > 0.3) _shapes.Add(new Trail([high, low], Thin));
        Text(new((low + -down * outward).X, _window.Bottom + 4), _content.FlushWords);
    }

    // A slender filled arrow head whose tip stands at the place and points this way.
    private void Head(Place tip, Place way)
    {
        Place side = new(-way.Y, way.X), back = tip + -Arrow * way;
        _shapes.Add(new Trail([tip, back + 0.42 * side, back + -0.42 * side], null, Palette.Black, Closed: true));
    }

    private void Text(Place middle, string words)
    {
        double half = TextMeasure.WidthMm(words, Capital, Weight.Semibold) / 2, x = Math.Clamp(middle.X, _window.Left + half, Math.Max(_window.Left + half, _window.Right - half));
        _shapes.Add(new Lettering(new(x, middle.Y), words, Capital, Weight.Semibold, Anchor.Middle));
    }

    private void Foot(Box box)
    {
        double y = _window.Bottom + 9.5;
        foreach (string line in _content.Foot.Split('\n').Select(l => TextMeasure.Fit(l, box.Width, Capital)))
        {
            _shapes.Add(new Lettering(new(box.Left, y), line, Capital, Ink: Palette.Grey));
            y += Line;
        }
        if (_content.Picture.Surround.Count > 0)
        {
            _shapes.Add(new Lettering(new(_window.Left + 1.5, _window.Bottom - 1.8), "surround", Capital, Ink: Palette.Grey));
            _shapes.Add(new Lettering(new(_window.Right - 1.5, _window.Bottom - 1.8), "door", Capital, Anchor: Anchor.End, Ink: Palette.Grey));
            return;
        }
        double at = _window.Top + _window.Height / 3;
        foreach (string line in TextMeasure.Wrap(_content.Missing, box.Width - 12, Capital, Weight.Semibold))
        {
            _shapes.Add(new Lettering(new(box.Left + 6, at), line, Capital, Weight.Semibold));
            at += Line;
        }
    }
}
