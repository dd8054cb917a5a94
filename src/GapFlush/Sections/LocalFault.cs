namespace GapFlush.Sections;

/// <summary>Whether the run of seam round a station holds something that a smooth run does not: a step, a dent, a bulge.</summary>
/// <remarks>Cells of one stretch of the run are taken together, near skin apart from edge and wall; a fault is a mean more than five of its standard deviations and
/// <see cref="LeastMm"/> from the fit. METHOD.md, eq. 38.</remarks>
internal static class LocalFault
{
    // Smaller faults cost less than the shorter run would.
    private const double Sigmas = 5, LeastMm = 0.015, NearMm = 3, MostMm = 0.5;

    /// <summary>How far a stretch of the run departs from the fit, mm, at most; 0 where none does so beyond its noise.</summary>
    public static double Of(SideFit fit) => Find(fit).Most;

    /// <summary>True where a shorter run may follow the fault: the edge departs, or the whole skin of a stretch. What lies on the skin beside the edge alone is tape, or paint, and a short run would
    /// be led onto it.</summary>
    public static bool IsOfThePart(SideFit fit) => Find(fit).IsOfThePart;

    private static (double Most, bool IsOfThePart) Find(SideFit fit)
    {
        if (fit.Cells is not SideCells cells || cells.Count == 0) return (0, false);
        int runs = cells.Run.Max() + 1;
        (double W, double Sum)[] skin = new (double, double)[runs], edge = new (double, double)[runs];
        List<double>[] behind = [.. Enumerable.Range(0, runs).Select(_ => new List<double>())];
        double end = new SideModel(fit.Parameters).SkinEnd;
        for (int i = 0; i < cells.Count; i++)
        {
            bool isSkin = cells.Kind[i] == PieceKind.Skin;
            if (isSkin && fit.Parameters.Values[SideParameters.X] + end - cells.X[i] > NearMm)
            {
                behind[cells.Run[i]].Add(fit.CellResiduals[i]);
                continue;
            }
            double w = 1 / (cells.Own[i] + (fit.Noise?.Of(cells.Kind[i]) ?? 0) + 1e-12);
            ref (double W, double Sum) at = ref (isSkin ? skin : edge)[cells.Run[i]];
            at = (at.W + w, at.Sum + w * fit.CellResiduals[i]);
        }
        double most = 0;
        bool isOfThePart = false;
        for (int k = 0; k < runs; k++)
        {
            double edgeOff = Off(edge[k]), skinOff = Off(skin[k]);
            most = Math.Max(most, Math.Min(Math.Max(Math.Abs(edgeOff), Math.Abs(skinOff)), MostMm));
            isOfThePart |= edgeOff != 0 || (skinOff != 0 && behind[k].Count > 0 && behind[k].Order().ElementAt(behind[k].Count / 2) / skinOff > 0.5);
        }
        return (most, isOfThePart);

        static double Off((double W, double Sum) of) => of.W > 0 && Math.Abs(of.Sum / of.W) > Math.Max(LeastMm, Sigmas / Math.Sqrt(of.W)) ? of.Sum / of.W : 0;
    }
}
