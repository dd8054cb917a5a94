using GapFlush.Geometry;

namespace GapFlush.Sections;

/// <summary>An order of points that is a question of their places alone.</summary>
internal static class SlabOrder
{
    private const int Bits = 11, Digits = 1 << Bits;

    /// <summary>Puts points in the order of their places along a direction; where two are alike there, by their coordinates.</summary>
    /// <param name="values">x, y, z in turn.</param>
    /// <param name="dropped">Points to leave out; null for none.</param>
    /// <param name="along">The direction.</param>
    /// <returns>Numbers of the points that stay.</returns>
    public static int[] Of(ReadOnlySpan<float> values, bool[]? dropped, Vector3 along)
    {
        int count = values.Length / 3, n = 0;
        int[] order = new int[count], other = new int[count];
        uint[] keys = new uint[count];
        for (int i = 0; i < count; i++)
        {
            if (dropped?[i] == true) continue;
            uint bits = BitConverter.SingleToUInt32Bits((float)(along.X * values[3 * i] + along.Y * values[3 * i + 1] + along.Z * values[3 * i + 2]));
            // Negative numbers have their order the other way round.
            keys[i] = (bits & 0x80000000) != 0 ? ~bits : bits | 0x80000000;
            order[n++] = i;
        }
        Span<int> from = order.AsSpan(0, n), to = other.AsSpan(0, n), starts = stackalloc int[Digits];
        for (int shift = 0; shift < 32; shift += Bits)
        {
            starts.Clear();
            foreach (int i in from) starts[(int)(keys[i] >> shift & (Digits - 1))]++;
            int at = 0;
            for (int d = 0; d < Digits; d++) (starts[d], at) = (at, at + starts[d]);
            foreach (int i in from) to[starts[(int)(keys[i] >> shift & (Digits - 1))]++] = i;
            Span<int> swap = from;
            from = to;
            to = swap;
        }
        for (int i = 1; i < n; i++)
        {
            if (keys[from[i]] != keys[from[i - 1]]) continue;
            int start = i - 1;
            while (i < n && keys[from[i]] == keys[from[start]]) i++;
            int[] alike = from[start..i].ToArray();
            float[][] places = new float[alike.Length][];
            for (int k = 0; k < alike.Length; k++) places[k] = values.Slice(3 * alike[k], 3).ToArray();
            Array.Sort(places, alike, Comparer<float[]>.Create((a, b) => a.AsSpan().SequenceCompareTo(b)));
            alike.CopyTo(from[start..i]);
        }
        return from.ToArray();
    }
}
