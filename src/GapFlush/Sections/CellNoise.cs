namespace GapFlush.Sections;

/// <summary>How the cells of one side scatter beside what the scatter of their points explains, as all its stations tell together.</summary>
/// <param name="SkinMm2">Variance that each cell of the skin has besides, mm².</param>
/// <param name="EdgeMm2">The same of edge and wall, mm².</param>
/// <param name="Correlation">What neighbouring cells share, by <see cref="CellNeighbours"/>' kinds of pairs, as a correlation, 0 or above; empty where it was not asked.</param>
internal sealed record CellNoise(double SkinMm2, double EdgeMm2, double[] Correlation)
{
    public double Of(PieceKind kind) => kind == PieceKind.Skin ? SkinMm2 : EdgeMm2;
}
