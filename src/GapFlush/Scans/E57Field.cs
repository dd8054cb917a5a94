using System.Buffers.Binary;

namespace GapFlush.Scans;

/// <summary>How a field of E57 points is written.</summary>
internal enum E57Kind { Single, Double, Integer }

/// <summary>One field of E57 points: a stream of values of so many bits each, the lowest bit first.</summary>
/// <param name="Kind">How a value is written.</param>
/// <param name="Bits">Bits of a value; 0 where the field has one value only.</param>
/// <param name="Minimum">What integers count from.</param>
/// <param name="Scale">What an integer is multiplied by.</param>
/// <param name="Offset">What is added to it then.</param>
internal sealed record E57Field(E57Kind Kind, int Bits, long Minimum, double Scale, double Offset)
{
    /// <summary>Bytes past the last value that reading it may touch.</summary>
    public const int Beyond = 9;

    /// <summary>Values one behind the other.</summary>
    /// <param name="bytes">The stream, with <see cref="Beyond"/> bytes behind its last value.</param>
    /// <param name="bit">Where the first value starts.</param>
    /// <param name="into">Takes the values.</param>
    public void Read(ReadOnlySpan<byte> bytes, long bit, Span<double> into)
    {
        if (Bits == 0) into.Fill(Minimum * Scale + Offset);
        else if (Kind == E57Kind.Double) for (int i = 0; i < into.Length; i++) into[i] = BinaryPrimitives.ReadDoubleLittleEndian(bytes[(int)((bit >> 3) + 8L * i)..]);
        else if (Kind == E57Kind.Single) for (int i = 0; i < into.Length; i++) into[i] = BinaryPrimitives.ReadSingleLittleEndian(bytes[(int)((bit >> 3) + 4L * i)..]);
        else Integers(bytes, bit, into);
    }

    private void Integers(ReadOnlySpan<byte> bytes, long bit, Span<double> into)
    {
        (int bits, ulong minimum, double scale, double offset) = (Bits, (ulong)Minimum, Scale, Offset);
        ulong mask = bits < 64 ? (1UL << bits) - 1 : ulong.MaxValue;
        for (int i = 0; i < into.Length; i++, bit += bits)
        {
            (int at, int shift) = ((int)(bit >> 3), (int)(bit & 7));
            ulong raw = BinaryPrimitives.ReadUInt64LittleEndian(bytes[at..]) >> shift;
            if (shift + bits > 64) raw |= (ulong)bytes[at + 8] << (64 - shift);
            into[i] = (long)(minimum + (raw & mask)) * scale + offset;
        }
    }
}
