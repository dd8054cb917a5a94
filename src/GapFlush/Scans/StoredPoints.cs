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
        for (int i = 0; i < length; i += 3) writer.Add(values[i] / PerMm, values[i + 1] / PerMm, values[i + 2] / PerMm);
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
            foreach (double value in coordinates)
            {
                if (_at == _block.Length)
                {
                    Close();
                    _block = GC.AllocateUninitializedArray<int>(3 * InBlock);
                }
                double scaled = Math.Round(value * _scale);
                _fits &= Math.Abs(scaled) < int.MaxValue;
                _block[_at++] = (int)scaled;
            }
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
