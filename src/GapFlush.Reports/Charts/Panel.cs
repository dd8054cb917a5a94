using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Charts;

/// <summary>A level drawn across a panel.</summary>
/// <param name="Value">Where.</param>
/// <param name="Words">What it is; empty for no words.</param>
/// <param name="Stroke">How it is drawn.</param>
internal sealed record Level(double Value, string Words, Stroke Stroke);

/// <summary>A plot of numbers against the order of making: frame, ticks, levels with words at the right, lines and marks. Nothing is reckoned here but places on paper.</summary>
internal sealed class Panel
{
    private readonly List<Shape> _shapes;
    private readonly Box _box;
    private readonly Scale _scale;

    public Panel(List<Shape> shapes, Box box, string name, IEnumerable<double> values, int count)
    {
        (_shapes, _box, _scale) = (shapes, box, new(box, values, count));
        if (name.Length > 0) shapes.Add(new Lettering(new(box.Left, box.Top - 1.3), name, ChartStyle.Small, Weight.Semibold));
    }

    public Scale Scale => _scale;

    public void Ticks()
    {
        double last = double.PositiveInfinity;
        foreach (double tick in _scale.Ticks())
        {
            double y = _scale.Y(tick);
            _shapes.Add(Trail.Line(_box.Left, y, _box.Right, y, ChartStyle.Grid));
            if (last - y < ChartStyle.Small * 1.35) continue;   // a low panel labels some of its ticks only
            last = y;
            _shapes.Add(new Lettering(new(_box.Left - 2, y + ChartStyle.Small / 2), tick.ToString("F" + _scale.Decimals), ChartStyle.Small, Anchor: Anchor.End));
        }
    }

    /// <summary>Levels; words that would stand on one another are moved apart.</summary>
    public void Levels(IEnumerable<Level> levels)
    {
        Level[] sorted = [.. levels.OrderByDescending(l => l.Value)];
        foreach (Level l in sorted) _shapes.Add(Trail.Line(_box.Left, _scale.Y(l.Value), _box.Right, _scale.Y(l.Value), l.Stroke));
        const double pitch = ChartStyle.Small * 1.45;
        Level[] told = [.. sorted.Where(l => l.Words.Length > 0)];
        double[] y = [.. told.Select(l => _scale.Y(l.Value) + ChartStyle.Small / 2)];
        for (int i = 1; i < y.Length; i++) y[i] = Math.Max(y[i], y[i - 1] + pitch);
        // What has been pushed below the foot moves up again, and with it what stands above.
        double foot = _box.Bottom + ChartStyle.Small;
        for (int i = y.Length - 1; i >= 0 && y[i] > foot; i--)
        {
            y[i] = foot;
            foot -= pitch;
        }
        for (int i = 0; i < told.Length; i++) _shapes.Add(new Lettering(new(_box.Right + 2, y[i]), told[i].Words, ChartStyle.Small));
    }

    public void Line(IReadOnlyList<double> values, Stroke stroke, double dotMm = 0, int first = 1)
    {
        _shapes.Add(new Trail([.. values.Select((v, i) => _scale.At(first + i, v))], stroke));
        if (dotMm > 0) for (int i = 0; i < values.Count; i++) _shapes.Add(new Disc(_scale.At(first + i, values[i]), dotMm, null, Palette.Blue));
    }

    /// <summary>A line that stays on its value over each number.</summary>
    public void Steps(IReadOnlyList<double> values, Stroke stroke, int first = 1)
    {
        double half = (_scale.X(2) - _scale.X(1)) / 2;
        _shapes.Add(new Trail([.. values.SelectMany((v, i) => new[] { _scale.At(first + i, v) + new Place(-half, 0), _scale.At(first + i, v) + new Place(half, 0) })], stroke));
    }

    public void Square(Place at, double half, double lineMm) => _shapes.Add(Trail.Box(at.X - half, at.Y - half, 2 * half, 2 * half, ChartStyle.Mark with { WidthMm = lineMm }));

    public void Cross(Place at, double half, double lineMm)
    {
        _shapes.Add(Trail.Line(at.X - half, at.Y - half, at.X + half, at.Y + half, ChartStyle.Mark with { WidthMm = lineMm }));
        _shapes.Add(Trail.Line(at.X - half, at.Y + half, at.X + half, at.Y - half, ChartStyle.Mark with { WidthMm = lineMm }));
    }

    /// <summary>A square round each point, with a word beside it where there is room.</summary>
    public void Signals(IEnumerable<(int Number, double Value, string Word)> points)
    {
        List<Box> taken = [];
        foreach ((int number, double value, string word) in points)
        {
            Place at = _scale.At(number, value);
            Square(at, 1.7, 0.4);
            double width = TextMeasure.WidthMm(word, ChartStyle.Small), x = Math.Clamp(at.X - width / 2, _box.Left + 0.5, _box.Right - width - 0.5);
            bool below = at.Y - 3 - ChartStyle.Small < _box.Top;
            double y = below ? at.Y + 3 + ChartStyle.Small : at.Y - 3;
            Box room = new(x, y - ChartStyle.Small, width, ChartStyle.Small);
            if (y > _box.Bottom - 0.5 || taken.Any(t => t.Overlaps(room.Grow(0.6)))) continue;
            taken.Add(room);
            _shapes.Add(Trail.Box(room.Left - 0.3, room.Top - 0.5, room.Width + 0.6, room.Height + 1, null, Palette.White));
            _shapes.Add(new Lettering(new(x, y), word, ChartStyle.Small, Weight.Semibold));
        }
    }

    /// <summary>Names under the numbers, turned; some are left out where there are many.</summary>
    public void Names(IReadOnlyList<string> names)
    {
        int every = Math.Max(1, (int)Math.Ceiling(names.Count * 4.4 / _box.Width));
        for (int i = 0; i < names.Count; i += every) _shapes.Add(new Lettering(new(_scale.X(i + 1) - 0.6, _box.Bottom + 3), names[i], ChartStyle.Small, TurnDeg: 60));
    }

    public void Frame() => _shapes.Add(Trail.Box(_box.Left, _box.Top, _box.Width, _box.Height, ChartStyle.Frame));
}
