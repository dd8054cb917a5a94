using System.Runtime.Intrinsics;
using GapFlush.Numerics;

namespace GapFlush.Scans;

/// <summary>The points of a scan as they passed by, twelve bytes each, so that a format slow to decode is decoded once; given up where they become too many.</summary>
internal sealed class StoredPoints(double toMm) : PointChunks, IPointSieve
{
    // 192 MB of them. Beyond, reading again costs less than the memory.
    private const long Most = 16 << 20;
    private const int InBlock = 8192;

    // A sixteenth of a micrometre and a bit: far below any scanner, and good to 32 metres either way.
    private const double PerMm = 1 << 16;

    private readonly List<(int[] Values, int Length)> _blocks = [];
    private long _count;
    private int _next;

    /// <summary>True where all points are here.</summary>
    public bool IsWhole { get; private set; } = true;

    public override int Capacity => 1;

    /// <summary>The same points to another sieve, in mm and in the same order.</summary>
    public void Replay(IPointSieve sieve)
    {
        _next = 0;
        Run(sieve, Math.Max(1, Environment.ProcessorCount), new BlockWriter(sieve.NewTray()));
    }

    public IPointTray NewTray() => new Tray(this);

    protected override bool Next(Chunk chunk)
    {
        if (_next == _blocks.Count) return false;
        chunk.Lines = _next++;
        return true;
    }

    protected override void Decode(Chunk chunk, BlockWriter writer)
    {
        (int[] values, int length) = _blocks[chunk.Lines];
        writer.AddScaled(values.AsSpan(0, length), 1 / PerMm);
    }

    private void Accept(List<(int[], int Length)> blocks, bool fits)
    {
        if (!IsWhole) return;
        foreach ((int[] _, int length) in blocks) _count += length / 3;
        _blocks.AddRange(blocks);
        if (fits && _count <= Most) return;
        IsWhole = false;
        _blocks.Clear();
    }

    private sealed class Tray(StoredPoints store) : IPointTray
    {
        private readonly List<(int[], int)> _full = [];
        private readonly double _scale = store._toMm * PerMm;
        private int[] _block = [];
        private int _at;
        private bool _fits = true;

        public void Sift(ReadOnlySpan<double> coordinates)
        {
            if (!store.IsWhole) return;
            while (!coordinates.IsEmpty)
            {
                if (_at == _block.Length)
                {
                    Close();
                    _block = GC.AllocateUninitializedArray<int>(3 * InBlock);
                }
                int n = Math.Min(coordinates.Length, _block.Length - _at);
                _fits &= Whole(coordinates[..n], _block.AsSpan(_at, n), _scale);
                _at += n;
                coordinates = coordinates[n..];
            }
        }

        // Nearest whole numbers of small steps; false where one is too large for them.
        private static bool Whole(ReadOnlySpan<double> values, Span<int> into, double scale)
        {
            // Added to a number this leaves the nearest whole one in the lower half of its bits.
            const double Shift = 3L << 51;
            int i = 0;
            Vector256<double> most = Vector256<double>.Zero;
            for (; i + 8 <= values.Length && i + 8 <= into.Length; i += 8)
            {
                Vector256<double> a = Lanes.Full(values, i) * scale, b = Lanes.Full(values, i + 4) * scale;
                most = Vector256.Max(most, Vector256.Max(Vector256.Abs(a), Vector256.Abs(b)));
                Vector256.Narrow((a + Vector256.Create(Shift)).AsInt64(), (b + Vector256.Create(Shift)).AsInt64()).StoreUnsafe(ref into[i]);
            }
            bool fits = Vector256.LessThanAll(most, Vector256.Create((double)int.MaxValue));
            for (; i < values.Length; i++)
            {
                double scaled = Math.Round(values[i] * scale);
                fits &= Math.Abs(scaled) < int.MaxValue;
                into[i] = (int)scaled;
            }
            return fits;
        }

        public void HandOver()
        {
            Close();
            store.Accept(_full, _fits);
            _full.Clear();
        }

        private void Close()
        {
            if (_at > 0) _full.Add((_block, _at));
            (_block, _at) = ([], 0);
        }
    }

    private readonly double _toMm = toMm;
}
