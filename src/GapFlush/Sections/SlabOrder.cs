using System.Buffers;
using GapFlush.Geometry;

namespace GapFlush.Sections;

/// <summary>An order of points that is a question of their places alone.</summary>
internal static class SlabOrder
{
    private const int Bits = 11, Digits = 1 << Bits, Rounds = 3;

    /// <summary>Puts points in the order of their places along a direction; where two are alike there, by their coordinates.</summary>
    /// <param name="values">x, y, z in turn.</param>
    /// <param name="dropped">Points to leave out; null for none.</param>
    /// <param name="along">The direction.</param>
    /// <returns>Numbers of the points that stay.</returns>
    public static int[] Of(ReadOnlySpan<float> values, bool[]? dropped, Vector3 along)
    {
        int count = values.Length / 3, n = 0;
        // What a point is put in order by, and its number: moved together, so that nothing is fetched from afar.
        ulong[] rented = ArrayPool<ulong>.Shared.Rent(2 * count);
        Span<int> starts = stackalloc int[Rounds * Digits];
        starts.Clear();
        for (int i = 0; i < count; i++)
        {
            if (dropped?[i] == true) continue;
            uint bits = BitConverter.SingleToUInt32Bits((float)(along.X * values[3 * i] + along.Y * values[3 * i + 1] + along.Z * values[3 * i + 2]));
            // Negative numbers have their order the other way round.
            uint key = (bits & 0x80000000) != 0 ? ~bits : bits | 0x80000000;
            rented[n++] = (ulong)key << 32 | (uint)i;
            for (int round = 0; round < Rounds; round++) starts[round * Digits + (int)(key >> round * Bits & (Digits - 1))]++;
        }
        Span<ulong> from = rented.AsSpan(0, n), to = rented.AsSpan(count, n);
        for (int round = 0; round < Rounds; round++)
        {
            Span<int> place = starts.Slice(round * Digits, Digits);
            int at = 0, shift = 32 + round * Bits;
            for (int d = 0; d < Digits; d++) (place[d], at) = (at, at + place[d]);
            foreach (ulong pair in from) to[place[(int)(pair >> shift & (Digits - 1))]++] = pair;
            Span<ulong> swap = from;
            from = to;
            to = swap;
        }
        int[] order = new int[n];
        for (int i = 0; i < n; i++) order[i] = (int)from[i];
        for (int i = 1; i < n; i++)
        {
            if (from[i] >> 32 != from[i - 1] >> 32) continue;
            int start = i - 1;
            while (i < n && from[i] >> 32 == from[start] >> 32) i++;
            int[] alike = order[start..i];
            float[][] places = new float[alike.Length][];
            for (int k = 0; k < alike.Length; k++) places[k] = values.Slice(3 * alike[k], 3).ToArray();
            Array.Sort(places, alike, Comparer<float[]>.Create((a, b) => a.AsSpan().SequenceCompareTo(b)));
            alike.CopyTo(order, start);
        }
        ArrayPool<ulong>.Shared.Return(rented);
        return order;
    }
}
