using System.Runtime.Intrinsics;

namespace GapFlush.Scans;

/// <summary>Gathers points into blocks and hands them on; points that are not finite are counted and left out.</summary>
internal sealed class BlockWriter(IPointTray tray)
{
    // A block and what is looked up for it fit a core's own cache.
    private const int PointsInBlock = 4096;

    // Beyond a thousand kilometres nothing is a door, whatever the unit; such numbers would only overflow later sums.
    private const double Absurd = 1e9;

    // Floats taken together.
    private const int Eight = 8;

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

    /// <summary>Takes points that lie one behind the other as floats, x, y, z in turn.</summary>
    public void AddFloats(ReadOnlySpan<float> values)
    {
        Vector256<float> absurd = Vector256.Create((float)Absurd);
        while (!values.IsEmpty)
        {
            int n = Math.Min(values.Length, _block.Length - _at), i = 0;
            Span<double> into = _block.AsSpan(_at, n);
            for (; i + Eight <= n; i += Eight)
            {
                Vector256<float> v = Vector256.LoadUnsafe(in values[i]);
                if (!Vector256.LessThanAll(Vector256.Abs(v), absurd)) break;
                Vector256.WidenLower(v).StoreUnsafe(ref into[i]);
                Vector256.WidenUpper(v).StoreUnsafe(ref into[i + Eight / 2]);
            }
            i -= i % 3;
            _at += i;
            if (_at == _block.Length) Flush();
            values = values[i..];
            // The rest of the block, or one point that needs a closer look.
            for (int k = 0; k < 3 * Eight && !values.IsEmpty; k += 3)
            {
                Add(values[0], values[1], values[2]);
                values = values[3..];
            }
        }
    }

    /// <summary>Takes points that lie one behind the other as whole numbers of small steps, x, y, z in turn.</summary>
    public void AddScaled(ReadOnlySpan<int> values, double step)
    {
        while (!values.IsEmpty)
        {
            int n = Math.Min(values.Length, _block.Length - _at);
            Span<double> into = _block.AsSpan(_at, n);
            for (int i = 0; i < into.Length; i++) into[i] = values[i] * step;
            _at += n;
            if (_at == _block.Length) Flush();
            values = values[n..];
        }
    }

    /// <summary>Gives the block, full or not, to the tray.</summary>
    public void Flush()
    {
        if (_at == 0) return;
        Points += _at / 3;
        tray.Sift(_block.AsSpan(0, _at));
        _at = 0;
    }

    /// <summary>Has the tray hand over what it kept; in file order.</summary>
    public void HandOver()
    {
        Flush();
        tray.HandOver();
    }

    /// <summary>Adds the counts of another writer.</summary>
    public void Count(BlockWriter other)
    {
        Points += other.Points;
        LeftOut += other.LeftOut;
    }
}
