using System.Buffers.Binary;
using System.Runtime.InteropServices;

namespace GapFlush.Scans;

/// <summary>Rows of equal length in a binary PLY file, so many to a piece.</summary>
internal sealed class PlyRows(ByteFeed feed, string element, long count, int stride, bool big, PlyRows.Field x, PlyRows.Field y, PlyRows.Field z) : PointChunks
{
    private const int BytesInPiece = 1 << 19;

    private readonly int _rows = Math.Max(1, BytesInPiece / stride);
    private readonly bool _floats = !big && BitConverter.IsLittleEndian && x.Kind == Kind.Float && y.Kind == Kind.Float && z.Kind == Kind.Float && y.Offset == x.Offset + 4 && z.Offset == y.Offset + 4;
    private long _done;

    internal enum Kind { SByte, Byte, Short, UShort, Int, UInt, Float, Double }

    /// <summary>Where a number of a row starts, and what it is.</summary>
    internal readonly record struct Field(int Offset, Kind Kind);

    public override int Capacity => _rows * stride;

    public static Kind KindOf(string type) => type switch
    {
        "char" or "int8" => Kind.SByte,
        "uchar" or "uint8" => Kind.Byte,
        "short" or "int16" => Kind.Short,
        "ushort" or "uint16" => Kind.UShort,
        "int" or "int32" => Kind.Int,
        "uint" or "uint32" => Kind.UInt,
        "float" or "float32" => Kind.Float,
        _ => Kind.Double,
    };

    public static ScanFormatException CutShort(string element, long count, long row) =>
        new(Invariant($"the end of the file after {row}"), Invariant($"{count} rows of element {element}, as the header says"), "The file is cut short; export it again.");

    public static double Value(ReadOnlySpan<byte> b, Kind kind, bool big) => kind switch
    {
        Kind.SByte => (sbyte)b[0],
        Kind.Byte => b[0],
        Kind.Short => big ? BinaryPrimitives.ReadInt16BigEndian(b) : BinaryPrimitives.ReadInt16LittleEndian(b),
        Kind.UShort => big ? BinaryPrimitives.ReadUInt16BigEndian(b) : BinaryPrimitives.ReadUInt16LittleEndian(b),
        Kind.Int => big ? BinaryPrimitives.ReadInt32BigEndian(b) : BinaryPrimitives.ReadInt32LittleEndian(b),
        Kind.UInt => big ? BinaryPrimitives.ReadUInt32BigEndian(b) : BinaryPrimitives.ReadUInt32LittleEndian(b),
        Kind.Float => big ? BinaryPrimitives.ReadSingleBigEndian(b) : BinaryPrimitives.ReadSingleLittleEndian(b),
        _ => big ? BinaryPrimitives.ReadDoubleBigEndian(b) : BinaryPrimitives.ReadDoubleLittleEndian(b),
    };

    protected override bool Next(Chunk chunk)
    {
        int rows = (int)Math.Min(_rows, count - _done);
        if (rows == 0) return false;
        chunk.Length = feed.TakeInto(chunk.Bytes.AsSpan(0, rows * stride));
        if (chunk.Length < rows * stride) throw CutShort(element, count, _done + chunk.Length / stride);
        _done += rows;
        return true;
    }

    protected override void Decode(Chunk chunk, BlockWriter writer)
    {
        ReadOnlySpan<byte> ready = chunk.Bytes.AsSpan(0, chunk.Length);
        if (_floats && stride == 12) writer.AddFloats(MemoryMarshal.Cast<byte, float>(ready));
        else if (_floats)
        {
            for (int from = x.Offset; from + 12 <= ready.Length; from += stride)
                writer.Add(MemoryMarshal.Read<float>(ready[from..]), MemoryMarshal.Read<float>(ready[(from + 4)..]), MemoryMarshal.Read<float>(ready[(from + 8)..]));
        }
        else
        {
            for (int from = 0; from < ready.Length; from += stride)
                writer.Add(Value(ready[(from + x.Offset)..], x.Kind, big), Value(ready[(from + y.Offset)..], y.Kind, big), Value(ready[(from + z.Offset)..], z.Kind, big));
        }
    }
}
