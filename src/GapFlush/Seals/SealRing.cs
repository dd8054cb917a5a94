namespace GapFlush.Seals;

/// <summary>The compression of the seal once round a door: how much it presses, and where it does not.</summary>
/// <remarks>
/// <para>Frame: distance runs along the seam from the first station, in station order, and closes on itself after the perimeter.</para>
/// <para>Method: compression straight from station to station; load by the seal's own curve; both integrated exactly piece by piece. Where two neighbours carry different seals or bands,
/// each holds to the middle between them. METHOD.md eq. 1 to 3.</para>
/// <para>No answer: a stretch with an unknown station at one end is not known; the closing load is null as soon as there is such a stretch or a station without a load curve.</para>
/// <para>Accuracy: 1e-9 relative against the computed cases <c>seal_a</c> and <c>seal_wrap</c> (ReferenceTests).</para>
/// <para>Source: common practice, no source; the straight line between stations is the plainest curve that the readings support.</para>
/// </remarks>
public sealed record SealRing
{
    // Load curves have a handful of points.
    private const int MostOnStack = 32;

    private SealRing() { }

    /// <summary>Length once round, mm.</summary>
    public required double PerimeterMm { get; init; }

    /// <summary>Length over which the compression is known, mm.</summary>
    public required double KnownLengthMm { get; init; }

    /// <summary>Mean compression over the known length, per cent; null where nothing is known.</summary>
    public required double? MeanPercent { get; init; }

    /// <summary>Force that the whole seal puts up against closing, N; null where a stretch or a load curve is missing.</summary>
    public required double? ClosingLoadN { get; init; }

    /// <summary>Standard uncertainty of the closing load, N: each station's own share independent, the common share added up.</summary>
    public required double? ClosingLoadUncertaintyN { get; init; }

    /// <summary>The part of it that belongs to each station by itself, N; null with the load.</summary>
    public required double? ClosingLoadOwnUncertaintyN { get; init; }

    /// <summary>The part of it that all stations may share, N; null with the load.</summary>
    public required double? ClosingLoadSharedUncertaintyN { get; init; }

    /// <summary>Length over which the load was carried on beyond the seal's data sheet, mm.</summary>
    public required double BeyondCurveLengthMm { get; init; }

    /// <summary>Stretches below the least compression, in order round the door, joined across the start.</summary>
    public required IReadOnlyList<SealRun> Below { get; init; }

    /// <summary>Stretches above the most compression, in order round the door, joined across the start.</summary>
    public required IReadOnlyList<SealRun> Above { get; init; }

    /// <summary>The largest distance between neighbouring stations whose land gap was read, mm; the perimeter where fewer than two were. A leak shorter than this can hide.</summary>
    public required double WidestSpacingMm { get; init; }

    /// <summary>The neighbouring stations read that lie farthest apart; null where fewer than two were read.</summary>
    public required (string From, string To)? WidestBetween { get; init; }

    /// <summary>The longest stretch below the least compression, or null.</summary>
    public SealRun? LongestBelow => Below.MaxBy(r => r.LengthMm);

    /// <summary>True when a stretch below the least compression is longer than a length at which water is taken to find its way.</summary>
    public bool HasLeakLongerThan(double lengthMm) => LongestBelow?.LengthMm > lengthMm;

    /// <summary>Traces the seal round a door.</summary>
    /// <param name="stations">The stations in order of rising distance; at least two.</param>
    /// <param name="perimeterMm">Length once round, mm; more than the last station's distance less the first's.</param>
    /// <exception cref="ArgumentException">Fewer than two stations, distances that do not rise, or a perimeter that is too short.</exception>
    public static SealRing Trace(IReadOnlyList<SealStation> stations, double perimeterMm)
    {
        Check(stations, perimeterMm);
        List<Piece> pieces = [.. Pieces(stations, perimeterMm)];
        double known = pieces.Sum(p => p.LengthMm);
        bool whole = IsWhole(stations);
        double load = 0, beyond = 0;
        double[] weight = new double[stations.Count];
        if (whole)
        {
            foreach (Piece piece in pieces) AddLoad(piece, ref load, ref beyond, weight);
        }
        double own = Math.Sqrt(stations.Select((s, i) => Square(weight[i] * s.OwnUncertaintyPercent)).Sum());
        double common = stations.Select((s, i) => weight[i] * s.CommonUncertaintyPercent).Sum();
        (double spacing, (string, string)? between) = WidestSpacing(stations, perimeterMm);
        return new SealRing
        {
            PerimeterMm = perimeterMm,
            KnownLengthMm = known,
            MeanPercent = known > 0 ? pieces.Sum(p => p.LengthMm * (p.FromPercent + p.ToPercent) / 2) / known : null,
            ClosingLoadN = whole ? load : null,
            ClosingLoadUncertaintyN = whole ? Math.Sqrt(own * own + common * common) : null,
            ClosingLoadOwnUncertaintyN = whole ? own : null,
            ClosingLoadSharedUncertaintyN = whole ? common : null,
            BeyondCurveLengthMm = beyond,
            Below = Runs(pieces, perimeterMm, below: true),
            Above = Runs(pieces, perimeterMm, below: false),
            WidestSpacingMm = spacing,
            WidestBetween = between,
        };
    }

    /// <summary>The closing load alone, as <see cref="Trace"/> finds it, N.</summary>
    internal static double? ClosingLoadOf(IReadOnlyList<SealStation> stations, double perimeterMm)
    {
        Check(stations, perimeterMm);
        if (!IsWhole(stations)) return null;
        double load = 0, beyond = 0;
        double[] weight = new double[stations.Count];
        foreach (Piece piece in Pieces(stations, perimeterMm)) AddLoad(piece, ref load, ref beyond, weight);
        return load;
    }

    private static bool IsWhole(IReadOnlyList<SealStation> stations) => stations.Any(s => s.HasSeal) && stations.All(s => !s.HasSeal || (s.CompressionPercent is not null && s.Curve is not null));

    private static void Check(IReadOnlyList<SealStation> stations, double perimeterMm)
    {
        if (stations.Count < 2) throw new ArgumentException($"A seal ring needs at least two stations; found {stations.Count}.", nameof(stations));
        for (int i = 1; i < stations.Count; i++)
        {
            if (!(stations[i].AlongMm > stations[i - 1].AlongMm))
                throw new ArgumentException(Invariant($"Station {stations[i].Station} at {stations[i].AlongMm} mm does not lie beyond {stations[i - 1].Station} at {stations[i - 1].AlongMm} mm."), nameof(stations));
        }
        if (!(perimeterMm > stations[^1].AlongMm - stations[0].AlongMm) || !double.IsFinite(perimeterMm))
            throw new ArgumentException(Invariant($"The perimeter {perimeterMm} mm must be longer than the distance from the first station to the last."), nameof(perimeterMm));
    }

    // A stretch of straight compression that belongs to one station: half of the way to a neighbour. Near is that station's index, Far the neighbour's;
    // the compression at any point is a mix of both, with FarShare at each end.
    private readonly record struct Piece(double FromMm, double ToMm, double FromPercent, double ToPercent, int Near, int Far, double FarShareFrom, double FarShareTo, SealStation Owner)
    {
        public double LengthMm => ToMm - FromMm;

        public double PercentAt(double share) => FromPercent + (ToPercent - FromPercent) * share;
    }

    private static IEnumerable<Piece> Pieces(IReadOnlyList<SealStation> stations, double perimeterMm)
    {
        for (int i = 0; i < stations.Count; i++)
        {
            int j = (i + 1) % stations.Count;
            double from = stations[i].AlongMm, to = j == 0 ? stations[0].AlongMm + perimeterMm : stations[j].AlongMm, middle = (from + to) / 2;
            if (stations[i].HasSeal != stations[j].HasSeal)
            {
                // Where a seal ends, it ends in the middle, pressed as at its last station.
                (int k, double start, double end) = stations[i].HasSeal ? (i, from, middle) : (j, middle, to);
                if (stations[k].CompressionPercent is double last) yield return new Piece(start, end, last, last, k, k, 0, 0, stations[k]);
                continue;
            }
            if (!stations[i].HasSeal || stations[i].CompressionPercent is not double a || stations[j].CompressionPercent is not double b) continue;
            double c = (a + b) / 2;
            yield return new Piece(from, middle, a, c, i, j, 0, 0.5, stations[i]);
            yield return new Piece(middle, to, c, b, j, i, 0.5, 0, stations[j]);
        }
    }

    private static void AddLoad(Piece piece, ref double load, ref double beyond, double[] weight)
    {
        SealLoadCurve curve = piece.Owner.Curve!;
        Span<double> cuts = Cuts(piece, curve.Bends, curve.Bends.Length > MostOnStack ? new double[curve.Bends.Length + 3] : stackalloc double[MostOnStack + 3]);
        for (int k = 1; k < cuts.Length; k++)
        {
            double length = (cuts[k] - cuts[k - 1]) * piece.LengthMm / 1000;   // m, as loads are N per m
            double middle = (cuts[k] + cuts[k - 1]) / 2, c = piece.PercentAt(middle);
            load += length * curve.LoadNPerM(c);   // the load is straight inside a cut, so its middle value is its mean
            if (curve.IsBeyond(c)) beyond += length * 1000;
            double slope = c > 0 ? curve.SlopeNPerMPerPercent(c) : 0;
            double far = piece.FarShareFrom + (piece.FarShareTo - piece.FarShareFrom) * middle;
            weight[piece.Near] += length * slope * (1 - far);
            weight[piece.Far] += length * slope * far;
        }
    }

    /// <summary>Shares of the piece, from 0 to 1, at which its compression crosses one of the levels or 0.</summary>
    /// <param name="piece">The piece.</param>
    /// <param name="levels">The levels.</param>
    /// <param name="room">Room for three more than there are levels.</param>
    private static Span<double> Cuts(Piece piece, ReadOnlySpan<double> levels, Span<double> room)
    {
        double a = piece.FromPercent, b = piece.ToPercent;
        (room[0], room[1]) = (0, 1);
        int count = 2;
        foreach (double level in levels) Add(level, room);
        Add(0, room);
        room[..count].Sort();
        return room[..count];

        void Add(double level, Span<double> cuts)
        {
            if ((a - level) * (b - level) < 0) cuts[count++] = (level - a) / (b - a);
        }
    }

    private static List<SealRun> Runs(List<Piece> pieces, double perimeterMm, bool below)
    {
        List<(double From, double To, double Extreme, double At)> runs = [];
        foreach (Piece piece in pieces)
        {
            if ((below ? piece.Owner.LeastPercent : piece.Owner.MostPercent) is not double level) continue;
            Span<double> cuts = Cuts(piece, [level], new double[4]);
            for (int k = 1; k < cuts.Length; k++)
            {
                double c = piece.PercentAt((cuts[k] + cuts[k - 1]) / 2);
                if (below ? !(c < level) : !(c > level)) continue;
                double from = piece.FromMm + cuts[k - 1] * piece.LengthMm, to = piece.FromMm + cuts[k] * piece.LengthMm;
                (double atFrom, double atTo) = (piece.PercentAt(cuts[k - 1]), piece.PercentAt(cuts[k]));
                bool firstIsExtreme = below ? atFrom <= atTo : atFrom >= atTo;
                Join(runs, (from, to, firstIsExtreme ? atFrom : atTo, firstIsExtreme ? from : to), below);
            }
        }
        // The last stretch may end where the first begins, once round.
        if (runs.Count > 1 && Meets(runs[^1].To, runs[0].From + perimeterMm))
        {
            (double from, double to, double extreme, double at) = runs[^1];
            bool firstIsExtreme = below ? runs[0].Extreme < extreme : runs[0].Extreme > extreme;
            runs[0] = (from - perimeterMm, runs[0].To, firstIsExtreme ? runs[0].Extreme : extreme, firstIsExtreme ? runs[0].At : at);
            runs.RemoveAt(runs.Count - 1);
        }
        return [.. runs.Select(r => new SealRun(Wrapped(r.From, perimeterMm), Wrapped(r.To, perimeterMm), r.To - r.From, r.Extreme, Wrapped(r.At, perimeterMm)))];
    }

    private static void Join(List<(double From, double To, double Extreme, double At)> runs, (double From, double To, double Extreme, double At) next, bool below)
    {
        if (runs.Count == 0 || !Meets(runs[^1].To, next.From))
        {
            runs.Add(next);
            return;
        }
        (double from, _, double extreme, double at) = runs[^1];
        bool nextIsExtreme = below ? next.Extreme < extreme : next.Extreme > extreme;
        runs[^1] = (from, next.To, nextIsExtreme ? next.Extreme : extreme, nextIsExtreme ? next.At : at);
    }

    // Ends of neighbouring pieces are computed from the same numbers; a micrometre is far above their rounding and far below any spacing.
    private static bool Meets(double a, double b) => Math.Abs(a - b) < 1e-3;

    private static double Wrapped(double alongMm, double perimeterMm)
    {
        double wrapped = alongMm % perimeterMm;
        return wrapped < 0 ? wrapped + perimeterMm : wrapped;
    }

    private static (double Mm, (string From, string To)? Between) WidestSpacing(IReadOnlyList<SealStation> stations, double perimeterMm)
    {
        int n = stations.Count;
        (double Mm, (string, string)? Between) widest = (0, null);
        for (int i = 0; i < n; i++)
        {
            if (!IsKnown(i)) continue;
            int next = 1;
            while (next < n && stations[(i + next) % n].HasSeal && !IsKnown(i + next)) next++;
            SealStation to = stations[(i + next) % n];
            if (next == n || !to.HasSeal) continue;   // alone, or the seal ends before
            double apart = to.AlongMm - stations[i].AlongMm + (i + next >= n ? perimeterMm : 0);
            if (apart > widest.Mm) widest = (apart, (stations[i].Station, to.Station));
        }
        return widest.Between is null ? (perimeterMm, null) : widest;

        // A prediction knows nothing of a land that sits wrong at its place, so it sees no leak there.
        bool IsKnown(int i) => stations[i % n] is { HasSeal: true, CompressionPercent: not null, IsPredicted: false };
    }

    private static double Square(double x) => x * x;
}
