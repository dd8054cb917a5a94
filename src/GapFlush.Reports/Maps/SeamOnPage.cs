using GapFlush.Geometry;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Maps;

/// <summary>The seam of a door as a closed curve on the page, and curves that run beside it.</summary>
/// <remarks>
/// The curve is sampled evenly between stations; a place on it is a parameter from 0 to the number of stations, whole at each station. A curve beside it keeps that
/// parameter: where an inside curve has less room than the seam (a tight corner), its places are spread along it, in order, so that no two stations fall together.
/// </remarks>
internal sealed class SeamOnPage
{
    private const int PerStation = 12;
    private const double Spread = 9;   // mm of a beside-curve over which places are evened out

    private readonly Place[] _seam;
    private readonly Place[] _outward;
    private readonly int _stations;
    private readonly Func<(double Right, double Up), Place> _onPage;
    private readonly double _longestStep;

    /// <summary>Lays a door's seam on the page.</summary>
    /// <param name="view">The view.</param>
    /// <param name="door">The door.</param>
    /// <param name="middle">Where the middle of the outline's box stands.</param>
    /// <param name="scale">Page mm for each mm of the aircraft.</param>
    public SeamOnPage(OutlineView view, Door door, Place middle, double scale)
    {
        _stations = door.Stations.Count;
        (double Right, double Up)[] raw = [.. door.Stations.Select(s => view.At(s.Position))];
        double centreRight = (raw.Min(p => p.Right) + raw.Max(p => p.Right)) / 2, centreUp = (raw.Min(p => p.Up) + raw.Max(p => p.Up)) / 2;
        _onPage = p => new Place(middle.X + scale * (p.Right - centreRight), middle.Y - scale * (p.Up - centreUp));
        Place[] at = [.. raw.Select(_onPage)];
        Place[] along = [.. door.Stations.Select(s => view.Flat(s.Tangent)).Select(t => new Place(t.Right, -t.Up))];
        _seam = new Place[_stations * PerStation];
        _outward = new Place[_seam.Length];
        for (int i = 0; i < _stations; i++)
        {
            int j = (i + 1) % _stations;
            double chord = (at[j] - at[i]).Length;
            for (int k = 0; k < PerStation; k++) _seam[i * PerStation + k] = Hermite(at[i], chord * along[i], at[j], chord * along[j], k / (double)PerStation);
        }
        double area = 0;
        for (int k = 0; k < _seam.Length; k++)
        {
            Place a = _seam[k], b = _seam[(k + 1) % _seam.Length];
            _longestStep = Math.Max(_longestStep, (b - a).Length);
            area += a.X * b.Y - a.Y * b.X;
        }
        for (int k = 0; k < _seam.Length; k++)
        {
            Place t = _seam[(k + 1) % _seam.Length] - _seam[(k + _seam.Length - 1) % _seam.Length];
            Place side = area > 0 ? new Place(t.Y, -t.X) : new Place(-t.Y, t.X);
            _outward[k] = 1 / Math.Max(1e-9, side.Length) * side;
        }
    }

    /// <summary>Number of samples round the seam.</summary>
    public int Samples => _seam.Length;

    /// <summary>The seam itself.</summary>
    public IReadOnlyList<Place> Curve => _seam;

    /// <summary>The sample of a station.</summary>
    public static int SampleOf(int station) => station * PerStation;

    /// <summary>The sample of the seam nearest to a place of the aircraft, as the view shows it.</summary>
    public int NearestSample(OutlineView view, Point3 place)
    {
        Place p = _onPage(view.At(place));
        return Enumerable.Range(0, _seam.Length).MinBy(k => (_seam[k] - p).Length);
    }

    /// <summary>Outward direction at a sample.</summary>
    public Place Outward(int sample) => _outward[sample];

    /// <summary>The largest distance from the seam to any place inside it: how much room there is.</summary>
    public double InnerRoom()
    {
        double best = 0, left = _seam.Min(p => p.X), right = _seam.Max(p => p.X), top = _seam.Min(p => p.Y), bottom = _seam.Max(p => p.Y);
        for (double x = left; x <= right; x += 1.5)
        {
            for (double y = top; y <= bottom; y += 1.5)
            {
                Place p = new(x, y);
                double distance = Nearest(p, best);
                if (distance > best && Encloses(_seam, p)) best = distance;
            }
        }
        return best;
    }

    // Distance from a place to the seam, or any distance below a least one that matters. Two samples are never further apart than the longest step, so a
    // sample that is far off tells how many after it are too far as well: some hundred times fewer than looking at all.
    private double Nearest(Place p, double least)
    {
        double nearest = double.PositiveInfinity;
        for (int j = 0; j < _seam.Length && nearest >= least;)
        {
            double distance = (_seam[j] - p).Length;
            nearest = Math.Min(nearest, distance);
            j += Math.Max(1, (int)((distance - nearest) / _longestStep));
        }
        return nearest;
    }

    /// <summary>The curve that runs beside the seam at a distance, positive outside: one place for each sample of the seam, in order.</summary>
    public Place[] Beside(double distance)
    {
        int n = _seam.Length;
        List<Place> path = [];
        int[] last = new int[n];
        for (int k = 0; k < n; k++)
        {
            Place q = _seam[k] + distance * _outward[k];
            // Where two stretches come too close, their offsets cross: what lies nearer to the seam than the distance is left out.
            double least = Math.Abs(distance) - 0.15;
            if (Nearest(q, least) >= least) path.Add(q);
            last[k] = path.Count - 1;
        }
        if (path.Count < 3) return [.. _seam];
        double[] length = new double[path.Count + 1];
        for (int i = 1; i <= path.Count; i++) length[i] = length[i - 1] + (path[i % path.Count] - path[i - 1]).Length;
        double total = length[^1];
        double[] t = [.. last.Select(i => i < 0 ? 0 : length[i])];
        // Even out: each place moves to the mean of its neighbours' places within the spread, counted as departures from an even run.
        double[] departure = [.. t.Select((v, k) => v - total * k / n)];
        // Far inside, a corner shrinks to a point and all its places with it: the deeper, the wider they are evened out.
        double spread = Math.Max(Spread, Math.Abs(distance) - 15);
        int reach = Math.Clamp((int)Math.Round(spread / total * n), 1, (n - 1) / 2);
        double sum = 0;
        for (int j = -reach; j <= reach; j++) sum += departure[(j + n) % n];
        Place[] beside = new Place[n];
        for (int k = 0; k < n; k++)
        {
            beside[k] = Along(path, length, total * k / n + sum / (2 * reach + 1));
            sum += departure[(k + reach + 1) % n] - departure[(k - reach + n) % n];
        }
        return beside;
    }

    /// <summary>True when a closed run of places goes round a place.</summary>
    public static bool Encloses(IReadOnlyList<Place> ring, Place p)
    {
        bool inside = false;
        for (int i = 0, j = ring.Count - 1; i < ring.Count; j = i++)
        {
            if (ring[i].Y > p.Y != ring[j].Y > p.Y && p.X < (ring[j].X - ring[i].X) * (p.Y - ring[i].Y) / (ring[j].Y - ring[i].Y) + ring[i].X) inside = !inside;
        }
        return inside;
    }

    private static Place Along(List<Place> path, double[] length, double at)
    {
        double total = length[^1];
        at = (at % total + total) % total;
        int i = Array.BinarySearch(length, at);
        if (i < 0) i = ~i - 1;
        i = Math.Clamp(i, 0, path.Count - 1);
        double step = length[i + 1] - length[i];
        double share = step > 0 ? (at - length[i]) / step : 0;
        return path[i] + share * (path[(i + 1) % path.Count] - path[i]);
    }

    private static Place Hermite(Place a, Place ta, Place b, Place tb, double s)
    {
        double s2 = s * s, s3 = s2 * s;
        return (2 * s3 - 3 * s2 + 1) * a + (s3 - 2 * s2 + s) * ta + (-2 * s3 + 3 * s2) * b + (s3 - s2) * tb;
    }
}
