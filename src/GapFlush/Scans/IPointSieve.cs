namespace GapFlush.Scans;

/// <summary>Takes what it wants of a scan that is read on several threads at once.</summary>
internal interface IPointSieve
{
    /// <summary>A tray for one thread.</summary>
    IPointTray NewTray();
}

/// <summary>What one thread keeps of the points it reads, until its turn in file order comes.</summary>
internal interface IPointTray
{
    /// <summary>Looks at a block: x, y, z in turn, all finite, in the file's own unit. Other threads sift at the same time.</summary>
    void Sift(ReadOnlySpan<double> coordinates);

    /// <summary>Hands over what was kept since the last time. Called in file order, one thread at a time, so that the same file gives the same result on any machine.</summary>
    void HandOver();
}

/// <summary>All points in file order, on one thread.</summary>
internal sealed class PlainSieve(PointBlock sink) : IPointSieve, IPointTray
{
    public IPointTray NewTray() => this;

    public void Sift(ReadOnlySpan<double> coordinates) => sink(coordinates);

    public void HandOver()
    {
    }
}
