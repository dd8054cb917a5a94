using System.Runtime.InteropServices;

namespace GapFlush.Scans;

/// <summary>The triangles of a binary STL file, so many to a piece.</summary>
internal sealed class StlFacets(ByteFeed feed, uint count) : PointChunks
{
    /// <summary>Bytes of a triangle: normal, three corners, two bytes of whatever.</summary>
    public const int Bytes = 50;

    private const int InPiece = 10_000;
    private uint _done;

    public override int Capacity => InPiece * Bytes;

    protected override bool Next(Chunk chunk)
    {
        int facets = (int)Math.Min(InPiece, count - _done);
        if (facets == 0) return false;
        chunk.Length = feed.TakeInto(chunk.Bytes.AsSpan(0, facets * Bytes));
        if (chunk.Length < facets * Bytes) throw StlScan.CutShort(_done + chunk.Length / Bytes, count);
        _done += (uint)facets;
        return true;
    }

    protected override void Decode(Chunk chunk, BlockWriter writer)
    {
        for (int from = 0; from < chunk.Length; from += Bytes)
        {
            ReadOnlySpan<byte> facet = chunk.Bytes.AsSpan(from, Bytes);
            for (int k = 12; k < 48; k += 12) writer.Add(Value(facet[k..]), Value(facet[(k + 4)..]), Value(facet[(k + 8)..]));
        }

        static float Value(ReadOnlySpan<byte> bytes) => BitConverter.IsLittleEndian ? MemoryMarshal.Read<float>(bytes) : System.Buffers.Binary.BinaryPrimitives.ReadSingleLittleEndian(bytes);
    }
}
