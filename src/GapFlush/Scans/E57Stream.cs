using System.Numerics;

namespace GapFlush.Scans;

/// <summary>The bytes of one field that have come and are not yet handed on.</summary>
/// <param name="bits">Bits of a value.</param>
internal sealed class E57Stream(int bits)
{
    // Streams of one packet may run ahead of one another by little; one that runs away is damaged.
    private const int Most = 16 << 20;

    private byte[] _bytes = new byte[1024];
    private int _start, _end;
    // Bits of the first byte that were handed on already.
    private int _bit;

    /// <summary>Whole values that have come.</summary>
    public long Ready => bits == 0 ? long.MaxValue : (8L * (_end - _start) - _bit) / bits;

    /// <summary>Takes the field's share of a packet.</summary>
    public void Feed(ReadOnlySpan<byte> more)
    {
        int held = _end - _start;
        if (held + more.Length > Most) throw new ScanFormatException("a field that runs far ahead of the others", "fields in step", E57Scan.Damaged);
        if (_end + more.Length > _bytes.Length)
        {
            // Room for what is held twice over, so that moving it is rare.
            byte[] room = 2 * (held + more.Length) > _bytes.Length ? new byte[BitOperations.RoundUpToPowerOf2((uint)(2 * (held + more.Length)))] : _bytes;
            Buffer.BlockCopy(_bytes, _start, room, 0, held);
            (_bytes, _start, _end) = (room, 0, held);
        }
        more.CopyTo(_bytes.AsSpan(_end));
        _end += more.Length;
    }

    /// <summary>Hands on the bytes of the next values; some bits of the first and last are of their neighbours.</summary>
    /// <param name="values">How many values.</param>
    /// <param name="into">Takes the bytes.</param>
    /// <param name="bit">The bit of the first byte at which the first value starts.</param>
    /// <returns>How many bytes.</returns>
    public int Give(int values, Span<byte> into, out int bit)
    {
        bit = _bit;
        long last = _bit + (long)bits * values;
        int bytes = (int)((last + 7) / 8);
        _bytes.AsSpan(_start, bytes).CopyTo(into);
        _start += (int)(last / 8);
        _bit = (int)(last % 8);
        return bytes;
    }
}
