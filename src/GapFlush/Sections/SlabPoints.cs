namespace GapFlush.Sections;

/// <summary>Points near one station in its curved axes: s along the seam, u from surround to door, v outward; mm.</summary>
/// <param name="S">Along the nominal seam from the station.</param>
/// <param name="U">Square to it in the nominal skin, into the door.</param>
/// <param name="V">Above the nominal skin.</param>
internal sealed record SlabPoints(double[] S, double[] U, double[] V)
{
    public int Count => S.Length;
}
