namespace GapFlush.Scans;

/// <summary>Shows every point to two sieves.</summary>
internal sealed class BothSieves(IPointSieve first, IPointSieve second) : IPointSieve
{
    public IPointTray NewTray() => new Tray(first.NewTray(), second.NewTray());

    private sealed class Tray(IPointTray first, IPointTray second) : IPointTray
    {
        public void Sift(ReadOnlySpan<double> coordinates)
        {
            first.Sift(coordinates);
            second.Sift(coordinates);
        }

        public void HandOver()
        {
            first.HandOver();
            second.HandOver();
        }
    }
}
