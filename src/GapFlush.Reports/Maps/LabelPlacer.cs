using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Maps;

/// <summary>A label to be placed: the lines of words, and the mark they belong to.</summary>
/// <param name="Lines">The lines; the first is the heaviest.</param>
/// <param name="Anchor">The mark.</param>
internal sealed record MapLabel(IReadOnlyList<string> Lines, Place Anchor)
{
    /// <summary>Capital height of the lettering, mm.</summary>
    public const double CapitalMm = Lettering.LeastMm;

    /// <summary>From line to line, mm.</summary>
    public const double PitchMm = 4.1;

    /// <summary>Width, mm.</summary>
    public double WidthMm { get; } = Lines.Select((l, i) => TextMeasure.WidthMm(l, CapitalMm, i == 0 ? Weight.Semibold : Weight.Regular)).Max() + 1.2;

    /// <summary>Height, mm.</summary>
    public double HeightMm => Lines.Count * PitchMm + 0.4;
}

/// <summary>A label with its place.</summary>
/// <param name="Label">The label.</param>
/// <param name="Corner">Upper left corner of its box.</param>
/// <param name="LeaderEnd">Where its leader meets the box.</param>
internal sealed record PlacedLabel(MapLabel Label, Place Corner, Place LeaderEnd);

/// <summary>Puts labels where nothing else is: on free paper, near their marks, no leader across another if it can be helped.</summary>
/// <remarks>
/// Method: the sheet is a grid of 1 mm cells; what is drawn already is taken. Labels go in the order given, each to the free box of least cost: length of its leader,
/// and a fine for each leader its leader crosses and for taken paper it runs over. No leader runs through a label. A label that finds no free box is handed back, never squeezed in.
/// </remarks>
internal sealed class LabelPlacer
{
    private const double CrossingFine = 80, TakenFine = 3, LongestLeader = 95;
    private const int MostTries = 12;
    private readonly int _width, _height;
    private readonly bool[] _taken;
    private readonly List<PlacedLabel> _placed = [];
    private readonly HashSet<(MapLabel, MapLabel)> _settled = [];   // pairs that cross and found no better place

    public LabelPlacer(double widthMm, double heightMm)
    {
        (_width, _height) = ((int)widthMm, (int)heightMm);
        _taken = new bool[_width * _height];
    }

    /// <summary>The labels placed so far.</summary>
    public IReadOnlyList<PlacedLabel> Placed => _placed;

    /// <summary>Takes the paper of a box.</summary>
    public void Take(double x, double y, double width, double height)
    {
        for (int j = Math.Max(0, (int)Math.Floor(y)); j < Math.Min(_height, (int)Math.Ceiling(y + height)); j++)
        {
            for (int i = Math.Max(0, (int)Math.Floor(x)); i < Math.Min(_width, (int)Math.Ceiling(x + width)); i++) _taken[j * _width + i] = true;
        }
    }

    // A leader's own paper, so that no later label is put on it.
    private void TakeLine(Place from, Place to)
    {
        int steps = (int)Math.Ceiling((to - from).Length / 0.5);
        for (int i = 0; i <= steps; i++)
        {
            Place p = from + i / (double)Math.Max(1, steps) * (to - from);
            Take(p.X - 0.2, p.Y - 0.2, 0.4, 0.4);
        }
    }

    /// <summary>Takes the paper between two closed curves that share their parameter, and a little beside them.</summary>
    public void TakeBand(IReadOnlyList<Place> a, IReadOnlyList<Place> b)
    {
        for (int k = 0; k < a.Count; k++)
        {
            int next = (k + 1) % a.Count;
            int steps = (int)Math.Ceiling((b[k] - a[k]).Length / 0.4) + 1;
            double stride = Math.Max((a[next] - a[k]).Length, (b[next] - b[k]).Length);
            int across = (int)Math.Ceiling(stride / 0.4) + 1;
            for (int m = 0; m < across; m++)
            {
                Place from = a[k] + m / (double)across * (a[next] - a[k]), to = b[k] + m / (double)across * (b[next] - b[k]);
                for (int i = 0; i <= steps; i++)
                {
                    Place p = from + i / (double)steps * (to - from);
                    Take(p.X - 0.3, p.Y - 0.3, 0.6, 0.6);
                }
            }
        }
    }

    /// <summary>Places labels, and says which found no free paper.</summary>
    /// <remarks>In the order round a middle first, which keeps leaders from crossing; where that leaves one over, anew in the order given, so that what matters most has a place.</remarks>
    public IReadOnlyList<MapLabel> Place(IReadOnlyList<MapLabel> labels, Place middle)
    {
        bool[] before = [.. _taken];
        int kept = _placed.Count;
        List<MapLabel> over = [.. labels.OrderBy(l => Math.Atan2(l.Anchor.Y - middle.Y, l.Anchor.X - middle.X)).Where(l => !TryPlace(l))];
        if (over.Count > 0)
        {
            before.CopyTo(_taken, 0);
            _placed.RemoveRange(kept, _placed.Count - kept);
            over = [.. labels.Where(l => !TryPlace(l))];
        }
        Uncross(before, kept);
        return over;
    }

    // Two labels whose leaders cross are taken up and put down again, in either order; that stays if it leaves fewer crossings.
    private void Uncross(bool[] before, int kept)
    {
        for (int tries = 0; tries < MostTries && Crossing(kept) is (PlacedLabel a, PlacedLabel b); tries++)
        {
            PlacedLabel[] old = [.. _placed];
            int crossings = Crossings();
            bool better = false;
            foreach ((PlacedLabel first, PlacedLabel second) in ((PlacedLabel, PlacedLabel)[])[(a, b), (b, a)])
            {
                Restore(before, kept, old.Where(l => l != a && l != b));
                better = TryPlace(second.Label) && TryPlace(first.Label) && Crossings() < crossings;
                if (better) break;
            }
            if (better) continue;
            Restore(before, kept, old);
            _settled.Add((a.Label, b.Label));
        }
    }

    private (PlacedLabel, PlacedLabel)? Crossing(int kept)
    {
        for (int i = kept; i < _placed.Count; i++)
        {
            for (int j = i + 1; j < _placed.Count; j++)
            {
                if (AreCrossed(_placed[i], _placed[j]) && !_settled.Contains((_placed[i].Label, _placed[j].Label)) && !_settled.Contains((_placed[j].Label, _placed[i].Label))) return (_placed[i], _placed[j]);
            }
        }
        return null;
    }

    private void Restore(bool[] before, int kept, IEnumerable<PlacedLabel> labels)
    {
        PlacedLabel[] all = [.. labels];
        before.CopyTo(_taken, 0);
        _placed.Clear();
        _placed.AddRange(all);
        foreach (PlacedLabel label in all.Skip(kept)) Occupy(label);
    }

    private int Crossings() => _placed.Select((a, i) => _placed.Skip(i + 1).Count(b => AreCrossed(a, b))).Sum();

    private static bool AreCrossed(PlacedLabel a, PlacedLabel b) => Cross(a.Label.Anchor, a.LeaderEnd, b.Label.Anchor, b.LeaderEnd);

    private static Box BoxOf(PlacedLabel label) => new(label.Corner.X, label.Corner.Y, label.Label.WidthMm, label.Label.HeightMm);

    private void Occupy(PlacedLabel label)
    {
        Take(label.Corner.X, label.Corner.Y, Math.Ceiling(label.Label.WidthMm), Math.Ceiling(label.Label.HeightMm));
        TakeLine(label.Label.Anchor, label.LeaderEnd);
    }

    /// <summary>Places a label; false where there is no free paper for it.</summary>
    public bool TryPlace(MapLabel label)
    {
        int w = (int)Math.Ceiling(label.WidthMm), h = (int)Math.Ceiling(label.HeightMm);
        int[] sums = Sums();
        // No box further off than the longest leader is looked at; boxes are then tried from the nearest on.
        int left = Math.Max(0, (int)(label.Anchor.X - LongestLeader) - w), right = Math.Min(_width - w, (int)(label.Anchor.X + LongestLeader));
        int top = Math.Max(0, (int)(label.Anchor.Y - LongestLeader) - h), bottom = Math.Min(_height - h, (int)(label.Anchor.Y + LongestLeader));
        List<(double Distance, int X, int Y)> free = [];
        for (int y = top; y <= bottom; y++)
        {
            for (int x = left; x <= right; x++)
            {
                if (TakenIn(sums, x, y, w, h) > 0) continue;
                double distance = (LeaderEnd(label.Anchor, x, y, w, h) - label.Anchor).Length;
                if (distance <= LongestLeader) free.Add((distance, x, y));
            }
        }
        free.Sort();
        double least = double.PositiveInfinity;
        int bx = 0, by = 0;
        foreach ((double distance, int x, int y) in free)
        {
            if (distance >= least) break;   // fines only add
            double cost = distance + Fines(label.Anchor, LeaderEnd(label.Anchor, x, y, w, h), least - distance);
            if (cost < least) (least, bx, by) = (cost, x, y);
        }
        if (double.IsInfinity(least)) return false;
        _placed.Add(new PlacedLabel(label, new Place(bx, by), LeaderEnd(label.Anchor, bx, by, w, h)));
        Occupy(_placed[^1]);
        return true;
    }

    private static Place LeaderEnd(Place anchor, int x, int y, int w, int h) => new(Math.Clamp(anchor.X, x, x + w), Math.Clamp(anchor.Y, y + 0.8, y + h - 0.8));

    // What a leader is fined; no more is reckoned once the fines come to a sum that already loses.
    private double Fines(Place from, Place to, double losing)
    {
        double fine = 0;
        foreach (PlacedLabel other in _placed)
        {
            if (fine >= losing) return fine;
            if (Cross(from, to, other.Label.Anchor, other.LeaderEnd)) fine += CrossingFine;
            if (BoxOf(other).IsCrossedBy(from, to)) return double.PositiveInfinity;
        }
        int steps = (int)Math.Ceiling((to - from).Length);
        for (int i = 3; i < steps && fine < losing; i++)
        {
            Place p = from + i / (double)steps * (to - from);
            if (p.X >= 0 && p.Y >= 0 && p.X < _width && p.Y < _height && _taken[(int)p.Y * _width + (int)p.X]) fine += TakenFine;
        }
        return fine;
    }

    private static bool Cross(Place a, Place b, Place c, Place d)
    {
        double d1 = Side(a, b, c), d2 = Side(a, b, d), d3 = Side(c, d, a), d4 = Side(c, d, b);
        return d1 * d2 < 0 && d3 * d4 < 0;

        static double Side(Place p, Place q, Place r) => (q.X - p.X) * (r.Y - p.Y) - (q.Y - p.Y) * (r.X - p.X);
    }

    private int[] Sums()
    {
        int[] sums = new int[(_width + 1) * (_height + 1)];
        for (int y = 0; y < _height; y++)
        {
            int row = 0;
            for (int x = 0; x < _width; x++)
            {
                if (_taken[y * _width + x]) row++;
                sums[(y + 1) * (_width + 1) + x + 1] = sums[y * (_width + 1) + x + 1] + row;
            }
        }
        return sums;
    }

    private int TakenIn(int[] sums, int x, int y, int w, int h)
    {
        int stride = _width + 1;
        return sums[(y + h) * stride + x + w] - sums[y * stride + x + w] - sums[(y + h) * stride + x] + sums[y * stride + x];
    }
}
