namespace GapFlush.Sections;

/// <summary>Whether the run of seam round a station holds something that a smooth run does not: a step, a dent, a bulge.</summary>
/// <remarks>Cells of one stretch of the run are taken together, near skin apart from edge and wall; a fault is a mean more than five of its standard deviations and
/// <see cref="LeastMm"/> from the fit. METHOD.md, eq. 33.</remarks>
internal static class LocalFault
{
    // Smaller faults cost less than the shorter run would.
    private const double Sigmas = 5, LeastMm = 0.015, NearMm = 6;

    public static bool Shows(SideFit fit)
    {
        if (fit.Cells is not SideCells cells) return false;
        int runs = cells.Run.Length == 0 ? 0 : cells.Run.Max() + 1;
        (double W, double Sum)[] skin = new (double, double)[runs], edge = new (double, double)[runs];
        double end = new SideModel(fit.Parameters).SkinEnd;
        for (int i = 0; i < cells.Count; i++)
        {
            bool isSkin = cells.Kind[i] == PieceKind.Skin;
            if (isSkin && fit.Parameters.Values[SideParameters.X] + end - cells.X[i] > NearMm) continue;
            double w = 1 / (cells.Own[i] + (isSkin ? fit.BetweenMm2.Skin : fit.BetweenMm2.Edge) + 1e-12);
            ref (double W, double Sum) at = ref (isSkin ? skin : edge)[cells.Run[i]];
            at = (at.W + w, at.Sum + w * fit.CellResiduals[i]);
        }
        return skin.Concat(edge).Any(e => e.W > 0 && Math.Abs(e.Sum / e.W) > Math.Max(LeastMm, Sigmas / Math.Sqrt(e.W)));
    }
}
