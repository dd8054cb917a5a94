using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Pages;

/// <summary>Fills A4 sheets with blocks from the top down.</summary>
internal sealed class PageFlow
{
    private const double Width = 210, Height = 297, Left = 17, Right = 193, Top = 24, Bottom = 278;
    private const double Body = Lettering.LeastMm, Line = 1.75;   // capital height, mm, and line pitch over capital height
    private static readonly Stroke Hair = new(Palette.Light, 0.15), Rule = new(Palette.Black, 0.35);

    private const int MostKeptTogether = 4;

    private readonly Report _report;
    private readonly List<(Sheet? Own, List<Shape> Shapes)> _pages = [];   // a drawing that fills a sheet of its own, or what was laid out here
    private readonly List<Sheet> _waiting = [];
    private List<Shape> _shapes = [];
    private double _y;

    public PageFlow(Report report)
    {
        _report = report;
        StartPage();
        Write(report.Title, 5, Weight.Semibold, Palette.Black, 2);
        Write(report.RunningHead, Body, Weight.Regular, Palette.Grey, 3);
    }

    /// <summary>Adds a block.</summary>
    /// <param name="block">The block.</param>
    /// <param name="next">What follows it, for a heading to stay with; null at the end.</param>
    public void Add(Block block, Block? next = null)
    {
        switch (block)
        {
            case Heading heading:
                Add(heading, next);
                break;
            case Paragraph paragraph:
                Add(paragraph);
                break;
            case Bullets bullets:
                for (int i = 0; i < bullets.Items.Count; i++) Write(bullets.Items[i], Body, Weight.Regular, Palette.Black, 1, indent: bullets.IsNumbered ? 6 : 4, bullet: bullets.IsNumbered ? Invariant($"{i + 1}.") : "");
                _y += 1.5;
                break;
            case Facts facts:
                Add(facts);
                break;
            case Table table:
                TableFlow.Add(this, table);
                break;
            case Figure figure:
                Add(figure);
                break;
            case SignOff signOff:
                Add(signOff);
                break;
            default:
                throw new ArgumentException($"No PDF form for a block of type {block.GetType().Name}.", nameof(block));
        }
    }

    /// <summary>The sheets, each with its foot.</summary>
    public IReadOnlyList<Sheet> Finish()
    {
        List<Sheet> sheets = [];
        if (_shapes.Count == 0 && _pages.Count > 1) _pages.RemoveAt(_pages.Count - 1);
        PlaceWaiting();
        for (int i = 0; i < _pages.Count; i++)
        {
            (Sheet? own, List<Shape> shapes) = _pages[i];
            List<Shape> all = [.. own?.Shapes ?? shapes];
            if (own is null)
            {
                double y = Bottom + 6;
                foreach (string line in TextMeasure.Wrap(_report.Caution, Right - Left - 25, Body)) { all.Add(new Lettering(new(Left, y), line, Body, Ink: Palette.Grey)); y += Body * 1.5; }
                all.Add(new Lettering(new(Right, Bottom + 6), Invariant($"{i + 1} of {_pages.Count}"), Body, Anchor: Anchor.End, Ink: Palette.Grey));
                if (i > 0) all.Add(new Lettering(new(Left, 15), TextMeasure.Fit(_report.RunningHead, Right - Left, Body), Body, Ink: Palette.Grey));
            }
            sheets.Add(new Sheet(own?.WidthMm ?? Width, own?.HeightMm ?? Height, _report.Title, Invariant($"Page {i + 1} of {_pages.Count}"), all));
        }
        return sheets;
    }

    internal static double LeftMm => Left;

    internal static double WidthMm => Right - Left;

    internal double Y
    {
        get => _y;
        set => _y = value;
    }

    internal void Draw(Shape shape) => _shapes.Add(shape);

    /// <summary>Starts a new sheet unless so much room is left; true when it did.</summary>
    internal bool Need(double heightMm)
    {
        if (_y + heightMm <= Bottom) return false;
        StartPage();
        return true;
    }

    private void StartPage()
    {
        PlaceWaiting();
        _shapes = [];
        _pages.Add((null, _shapes));
        _y = Top;
    }

    // Drawings that fill a sheet follow the sheet that speaks of them.
    private void PlaceWaiting()
    {
        foreach (Sheet sheet in _waiting) _pages.Add((sheet, []));
        _waiting.Clear();
    }

    private void Add(Heading heading, Block? next)
    {
        if (heading.StartsPage && _y > Top + 1) StartPage();
        double size = heading.Level == 1 ? 3.9 : heading.Level == 2 ? 3.1 : 2.7;
        Need(size * Line + (next switch { Figure { OwnPage: false } figure => 12 + Room(figure), Table table => Math.Max(22, 8 + TableFlow.Opening(table)), _ => 22 }));   // a heading does not stand alone at the foot
        if (_y > Top + 1) _y += heading.Level == 1 ? 5 : 3;
        Write(heading.Text, size, Weight.Semibold, Palette.Black, heading.Level == 1 ? 0.5 : 1);
        if (heading.Level != 1) return;
        Draw(Trail.Line(Left, _y, Right, _y, Rule));
        _y += 2.5;
    }

    private void Add(Paragraph paragraph)
    {
        switch (paragraph.Role)
        {
            case ParagraphRole.Answer:
                Write(paragraph.Text, 3.1, Weight.Semibold, Palette.Black, 2, indent: paragraph.Mark is null ? 0 : 6, mark: paragraph.Mark);
                break;
            case ParagraphRole.Caution:
                IReadOnlyList<string> lines = TextMeasure.Wrap(paragraph.Text, WidthMm - 8, Body);
                double height = lines.Count * Body * Line + 5;
                Need(height);
                Draw(Trail.Box(Left, _y, WidthMm, height, Rule));
                _y += 2;
                foreach (string line in lines) { _y += Body * Line; Draw(new Lettering(new(Left + 4, _y - 0.6), line, Body)); }
                _y += 5;
                break;
            case ParagraphRole.Note:
                Write(paragraph.Text, Body, Weight.Regular, Palette.Grey, 2);
                break;
            default:
                Write(paragraph.Text, Body, Weight.Regular, Palette.Black, 2, indent: paragraph.Mark is null ? 0 : 5, mark: paragraph.Mark);
                break;
        }
    }

    private void Add(Facts facts)
    {
        const double label = 46;
        foreach ((string name, string value) in facts.Items)
        {
            IReadOnlyList<string> names = TextMeasure.Wrap(name, label - 3, Body), values = TextMeasure.Wrap(value, WidthMm - label, Body);
            int lines = Math.Max(names.Count, values.Count);
            Need(lines * Body * Line + 1);
            for (int i = 0; i < lines; i++)
            {
                _y += Body * Line;
                if (i < names.Count) Draw(new Lettering(new(Left, _y), names[i], Body, Ink: Palette.Grey));
                if (i < values.Count) Draw(new Lettering(new(Left + label, _y), values[i], Body));
            }
            _y += 1.4;
            Draw(Trail.Line(Left, _y, Right, _y, Hair));
            _y += 0.4;
        }
        _y += 2.5;
    }

    private void Add(Figure figure)
    {
        if (figure.OwnPage)
        {
            // A heading does not stand alone on a sheet: the text goes on below it and the drawing comes next. With nothing written yet the drawing comes at once.
            if (_shapes.Count > 0) _waiting.Add(figure.Sheet);
            else _pages.Insert(_pages.Count - 1, (figure.Sheet, []));
            return;
        }
        double scale = Math.Min(1, WidthMm / figure.Sheet.WidthMm), height = figure.Sheet.HeightMm * scale;
        IReadOnlyList<string> caption = TextMeasure.Wrap(figure.Caption, WidthMm, Body);
        Need(Room(figure));
        foreach (Shape shape in figure.Sheet.Shapes) Draw(ShapeMove.By(shape, scale, Left, _y));
        _y += height + 1;
        foreach (string line in caption) { _y += Body * Line; Draw(new Lettering(new(Left, _y), line, Body, Ink: Palette.Grey)); }
        _y += 4;
    }

    // A drawing among the text, with its caption.
    private static double Room(Figure figure) => figure.Sheet.HeightMm * Math.Min(1, WidthMm / figure.Sheet.WidthMm) + TextMeasure.Wrap(figure.Caption, WidthMm, Body).Count * Body * Line + 3;

    private void Add(SignOff signOff)
    {
        foreach (string role in signOff.Roles)
        {
            Need(17);
            _y += 13;
            (double X, double Width, string Text)[] fields = [(Left, 52, role), (Left + 57, 52, "Name"), (Left + 114, 20, "Date"), (Left + 139, Right - Left - 139, "Signature")];
            foreach ((double x, double width, string text) in fields)
            {
                Draw(Trail.Line(x, _y, x + width, _y, Rule));
                Draw(new Lettering(new(x, _y + Body * 1.6), TextMeasure.Fit(text, width, Body), Body, Ink: Palette.Grey));
            }
            _y += 4;
        }
        _y += 3;
    }

    private void Write(string text, double size, Weight weight, Ink ink, double after, double indent = 0, Mark? mark = null, string? bullet = null)
    {
        bool first = true;
        IReadOnlyList<string> lines = TextMeasure.Wrap(text, WidthMm - indent, size, weight);
        if (lines.Count <= MostKeptTogether) Need(lines.Count * size * Line);   // no single line over the page
        foreach (string line in lines)
        {
            Need(size * Line);
            _y += size * Line;
            if (first && mark is Mark m)
            {
                foreach (Shape shape in MarkShapes.At(m, new(Left + 2, _y - size / 2), size * 1.25)) Draw(shape);
            }
            if (first && bullet is { Length: > 0 }) Draw(new Lettering(new(Left, _y), bullet, size, weight, Ink: ink));
            else if (first && bullet is not null) Draw(Trail.Line(Left + 0.8, _y - size / 2, Left + 2.4, _y - size / 2, new Stroke(Palette.Black, 0.3)));
            Draw(new Lettering(new(Left + indent, _y), line, size, weight, Ink: ink));
            first = false;
        }
        _y += after;
    }
}
