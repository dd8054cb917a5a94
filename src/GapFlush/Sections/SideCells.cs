namespace GapFlush.Sections;

/// <summary>The points of one side gathered into small cells along a fitted outline, one pseudo-point each.</summary>
/// <remarks>
/// <para>A cell is three millimetres of the run times a short piece of the outline. Its pseudo-point lies over the mean foot of its points at their weighted mean distance from the outline, so
/// that a curved edge costs no bias however coarse the cell; a fit to the pseudo-points, gathered again over its result, is the fit to the points. METHOD.md, eq. 27 and 28.</para>
/// <para>Within a cell points scatter by the noise of the scanner; between cells by what neighbours share besides: correlated noise, and skins that are not that smooth.</para>
/// </remarks>
internal sealed class SideCells
{
    /// <summary>Points farther than so many standard deviations have no say, one by one: 94 % efficiency on normal data.</summary>
    public const double Cut = 4.5;

    // Points whose feet are found together.
    private const int Block = 128;
    private const double AlongMm = 3, WallCellMm = 0.75, EdgeCellMm = 0.4;
    // Skin is taken in steps of one millimetre, twice, and of two from there on.
    private const int FineSkin = 2, SkinCells = 14, MostEdgeCells = 8, WallCells = 12, Across = SkinCells + MostEdgeCells + WallCells;

    private SideCells(int count) =>
        (S, X, Y, Distance, Points, Share, Kind, Own, Run, Place) = (new double[count], new double[count], new double[count], new double[count], new double[count], new double[count], new PieceKind[count], new double[count], new int[count], new int[count]);

    public int Count => S.Length;

    /// <summary>Along the seam.</summary>
    public double[] S { get; }

    /// <summary>Pseudo-points in the side's own axes.</summary>
    public double[] X { get; }

    public double[] Y { get; }

    /// <summary>Mean distance from the outline that the cells were gathered over, mm.</summary>
    public double[] Distance { get; }

    /// <summary>Points in each, by their weights.</summary>
    public double[] Points { get; }

    /// <summary>As many points as its area would have if all were seen alike: tape that is seen better than skin has no more say for it.</summary>
    public double[] Share { get; }

    public PieceKind[] Kind { get; }

    /// <summary>Variance of the mean by the scatter of the points alone, mm².</summary>
    public double[] Own { get; }

    /// <summary>Which stretch of the run each belongs to.</summary>
    public int[] Run { get; }

    /// <summary>Which place across the seam each belongs to.</summary>
    public int[] Place { get; }

    /// <summary>Standard deviation of a point's distance, mm.</summary>
    public double NoiseMm { get; private set; }

    /// <summary>Points that bear on the result, by piece.</summary>
    public int[] Counts { get; } = new int[3];

    /// <summary>How far below its start the wall is seen without a break, mm: below a break lies something else, a seal as a rule.</summary>
    public double WallSeenMm { get; private set; }

    /// <summary>Gathers points over an outline.</summary>
    /// <param name="points">All points of the side.</param>
    /// <param name="parameters">The outline.</param>
    /// <param name="noise">What the standard deviation of a point was taken for so far.</param>
    /// <param name="halfRun">Points farther along the seam are left out, mm.</param>
    /// <param name="wallMm">How deep along the wall, mm.</param>
    public static SideCells Of(SidePoints points, SideParameters parameters, double noise, double halfRun, double wallMm)
    {
        SideModel model = new(parameters);
        int runs = Math.Max(5, (int)Math.Ceiling(2 * halfRun / AlongMm));
        double perRun = runs / (2 * halfRun), skinEnd = model.SkinEnd, wallStart = model.WallStart, cut = Cut * noise;
        (double edgeFrom, double edgeTo) = model.EdgePlaces;
        int edges = Math.Clamp((int)(model.EdgeLength / EdgeCellMm + 0.5), 1, MostEdgeCells);
        double perEdge = edges / (edgeTo - edgeFrom);
        if (!double.IsFinite(perEdge)) perEdge = 0;
        Sums[] sums = new Sums[runs * Across];
        (double[] s, double[] x, double[] y) = (points.S, points.X, points.Y);
        double psi2 = 0, weights = 0, slopes = 0;
        int[] counts = new int[3], down = new int[WallCells];
        Span<double> feet = stackalloc double[4 * Block];
        for (int from = 0; from < s.Length; from += Block)
        {
            int count = Math.Min(Block, s.Length - from);
            model.Feet(s.AsSpan(from, count), x.AsSpan(from, count), y.AsSpan(from, count), feet, Block);
            for (int i = 0; i < count; i++)
            {
                double si = s[from + i], r = feet[i], t = r / cut, u = 1 - t * t;
                if (!(u > 0) || Math.Abs(si) > halfRun) continue;
                PieceKind piece = (PieceKind)feet[Block + i];
                double place = model.Place(piece, feet[2 * Block + i], feet[3 * Block + i]);
                int across;
                if (piece == PieceKind.Skin)
                {
                    double back = skinEnd - place;
                    if (back > StationFit.SkinMm) continue;
                    int b = Math.Max(0, (int)back);
                    across = b < FineSkin ? b : Math.Min(SkinCells - 1, FineSkin + (b - FineSkin) / 2);
                }
                else if (piece == PieceKind.Edge) across = SkinCells + Math.Clamp((int)((place - edgeFrom) * perEdge), 0, edges - 1);
                else
                {
                    if (place > wallMm) continue;
                    int below = Math.Clamp((int)((place - wallStart) / WallCellMm), 0, WallCells - 1);
                    down[below]++;
                    across = SkinCells + MostEdgeCells + below;
                }
                int run = Math.Clamp((int)((si + halfRun) * perRun), 0, runs - 1);
                double w = u * u, wr = w * r;
                ref Sums c = ref sums[run * Across + across];
                c.Count++;
                c.W += w;
                c.S += w * si;
                c.Place += w * place;
                c.R += wr;
                c.R2 += wr * wr;
                c.Slope += u * (1 - 5 * t * t);
                counts[(int)piece]++;
            }
        }
        int kept = 0, points0 = 0, cells = 0;
        for (int i = 0; i < sums.Length; i++)
        {
            ref Sums c = ref sums[i];
            if (c.W < 0.3) continue;
            kept++;
            // A cell that lies off as a whole (tape) has its points in the tail of the loss, where they scatter less.
            if (c.Count < 3 || Math.Abs(c.R) > noise * c.W) continue;
            // Scatter about the cell's own mean: a tape or a bend between cells is not noise.
            psi2 += Math.Max(0, c.R2 - c.R * c.R / c.Count) * c.Count / (c.Count - 1);
            weights += c.W;
            slopes += c.Slope;
            points0 += c.Count;
            cells++;
        }
        SideCells result = new(kept);
        // Of a weighted mean at its fixed point: psi^2 over the square of the summed slope, put as so much for each unit of weight.
        // Weights look from the outline, not from the cell's own mean, and pull that mean towards it by this much.
        double full = cells > 0 && slopes > 0 ? weights / slopes : 1;
        double perWeight = cells > 0 && slopes > 0 ? psi2 * weights / (slopes * slopes) : noise * noise;
        result.NoiseMm = points0 > 0 ? Math.Sqrt(psi2 / points0 / NormalPsi2) : noise;
        for (int k = 0; k < 3; k++) result.Counts[k] = counts[k];
        // A wall is seen by some of the passes that see the skin, and aslant.
        const double LeastShare = 0.08;
        double least = LeastShare * counts[(int)PieceKind.Skin] / StationFit.SkinMm * WallCellMm;
        while (result.WallSeenMm < (WallCells - 0.5) * WallCellMm && down[(int)(result.WallSeenMm / WallCellMm + 0.5)] > least) result.WallSeenMm += WallCellMm;
        double area = 0, all = 0, edgeCell = model.EdgeLength / edges;
        for (int i = 0, j = 0; i < sums.Length; i++)
        {
            ref Sums c = ref sums[i];
            if (c.W < 0.3) continue;
            int across = i % Across;
            result.Kind[j] = across < SkinCells ? PieceKind.Skin : across < SkinCells + MostEdgeCells ? PieceKind.Edge : PieceKind.Wall;
            (result.S[j], result.Distance[j], result.Points[j], result.Own[j], result.Run[j], result.Place[j]) = (c.S / c.W, full * c.R / c.W, c.W, perWeight / c.W, i / Across, across);
            (result.X[j], result.Y[j]) = model.Over(result.S[j], result.Kind[j], c.Place / c.W, result.Distance[j]);
            result.Share[j] = result.Kind[j] switch { PieceKind.Skin => across < FineSkin ? 1 : 2, PieceKind.Edge => edgeCell, _ => WallCellMm };
            (area, all) = (area + result.Share[j], all + c.W);
            j++;
        }
        for (int j = 0; j < result.Share.Length; j++) result.Share[j] *= all / area;
        return result;
    }

    /// <summary>What the mean of a cell may be off by because tape on the cell next to it reaches into it: variance, mm². Its points, two or three standard deviations off, are not told one by one. METHOD.md, eq. 46.</summary>
    public double[] BesideOff(CellNoise between)
    {
        // Of a strip that ends anywhere in the cell, what would not itself have the cell thrown out.
        const double Reaches = 0.25;
        double[] variance = new double[Count];
        int[] above = new int[Across];
        Array.Fill(above, -1);
        for (int i = 0; i < Count; i++)
        {
            if (Kind[i] != PieceKind.Skin) continue;
            if (i > 0 && Run[i - 1] == Run[i] && Place[i - 1] == Place[i] - 1) Pair(i - 1, i);
            if (above[Place[i]] is >= 0 and int k && Run[k] == Run[i] - 1) Pair(k, i);
            above[Place[i]] = i;
        }
        return variance;

        void Pair(int i, int j)
        {
            (bool a, bool b) = (IsOff(i), IsOff(j));
            if (a && !b) variance[j] = Math.Max(variance[j], Reaches * Reaches * Distance[i] * Distance[i]);
            if (b && !a) variance[i] = Math.Max(variance[i], Reaches * Reaches * Distance[j] * Distance[j]);
        }

        bool IsOff(int i) => Distance[i] * Distance[i] > FitDesk.Cut * FitDesk.Cut * (Own[i] + between.Of(PieceKind.Skin) + 1e-12);
    }

    // Mean of (w r)^2 of normal residuals, in units of their variance, for the bisquare cut at 4.5: by quadrature (SideCellsTests).
    internal const double NormalPsi2 = 0.58193;

    private struct Sums
    {
        public int Count;
        public double W, S, Place, R, R2, Slope;
    }
}
