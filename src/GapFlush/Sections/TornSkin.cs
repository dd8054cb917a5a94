namespace GapFlush.Sections;

/// <summary>Whether a fitted skin lies between two skins instead of on one of them, and which points to start from again.</summary>
/// <remarks>Tape that starts where the edge ends, a step of paint: a smooth skin that goes half over it leaves cells off by one to three of their standard deviations all over. On the right skin cells
/// scatter by one, and tape lies so far off that it has no say. METHOD.md, eq. 47.</remarks>
internal static class TornSkin
{
    // Root mean square of the cells that have a say, in their standard deviations: of ninety or more cells on one skin it stays below 1.2.
    private const double LargestScatter = 1.35;

    /// <summary>Behind the skin's end, from where to where skin is left out of another start, mm: what may be tape beside the edge, and what may be another skin behind it.</summary>
    public static (double From, double To)[] LeftOut { get; } = [(-1, 9), (6, StationFit.SkinMm + 1)];

    /// <summary>True where a fit is to be looked for again.</summary>
    public static bool Of(SideFit fit)
    {
        // A shorter run, with fewer points, is the sooner content.
        fit = fit.Whole;
        if (fit.Cells is not SideCells cells) return false;
        double sum = 0;
        int n = 0;
        for (int i = 0; i < cells.Count; i++)
        {
            if (cells.Kind[i] != PieceKind.Skin) continue;
            double square = fit.CellResiduals[i] * fit.CellResiduals[i] / (cells.Own[i] + (fit.Noise?.Of(PieceKind.Skin) ?? 0) + 1e-12);
            if (square > FitDesk.Cut * FitDesk.Cut) continue;
            sum += square;
            n++;
        }
        return n > 0 && sum > LargestScatter * LargestScatter * n;
    }
}
