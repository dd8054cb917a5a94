namespace GapFlush.Scans;

/// <summary>Gathers points into blocks and hands them on; points that are not finite are counted and left out.</summary>
internal sealed class BlockWriter(PointBlock sink)
{
    private const int PointsInBlock = 16_384;

    // Beyond a thousand kilometres nothing is a door, whatever the unit; such numbers would only overflow later sums.
    private const double Absurd = 1e9;

    private readonly double[] _block = new double[3 * PointsInBlock];
    private int _at;

    public long Points { get; private set; }

    public long LeftOut { get; set; }

    public void Add(double x, double y, double z)
    {
        if (!(Math.Abs(x) < Absurd && Math.Abs(y) < Absurd && Math.Abs(z) < Absurd))
        {
            LeftOut++;
            return;
        }
        double[] block = _block;
        int at = _at;
        block[at] = x;
        block[at + 1] = y;
        block[at + 2] = z;
        _at = at + 3;
        if (_at == block.Length) Flush();
    }

    public void Flush()
    {
        if (_at == 0) return;
        Points += _at / 3;
        sink(_block.AsSpan(0, _at));
        _at = 0;
    }
}
