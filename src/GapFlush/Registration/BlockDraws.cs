using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using GapFlush.Numerics;

namespace GapFlush.Registration;

/// <summary>A draw that the place of a point decides, for blocks of points: as good as random from place to place, but the same whenever the same place comes, in whatever file and order.</summary>
/// <remarks>
/// <para>A place is a cube of a tenth of a millimetre: smaller than the distance of points, so that a draw takes points one by one, and so much larger than what formats round off that next to no point
/// changes its place. Its faces lie on no round number of any unit, where rounded coordinates would lie on them in droves. Both sides of a mirror draw the same.</para>
/// <para>Source: the mixing steps are A. Appleby's MurmurHash3, public domain [from memory].</para>
/// </remarks>
internal static class BlockDraws
{
    private const double PlacesPerMm = 9.641853;

    // Added to a number this leaves the nearest whole one in the lower half of its bits.
    private const double Shift = 3L << 51;

    // From which the origin draws the most there is: scanners give places that they did not see as nought, and those are to be let go first.
    private const uint Start = 0x331DA083;

    private const uint A = 0x9E3779B1, B = 0x85EBCA77, C = 0xC2B2AE3D, First = 0x85EBCA6B, Second = 0xC2B2AE35;

    /// <summary>Finds the points of a block whose draw is not above a most.</summary>
    /// <param name="coordinates">x, y, z in turn.</param>
    /// <param name="toMm">Factor from their unit to mm.</param>
    /// <param name="most">The largest draw wanted, of 32 bits.</param>
    /// <param name="at">Gets where in the coordinates each starts; room for all points.</param>
    /// <param name="draws">Gets the upper half of the draw of each; room for all points.</param>
    /// <returns>How many.</returns>
    public static int Choose(ReadOnlySpan<double> coordinates, double toMm, uint most, Span<int> at, Span<ushort> draws)
    {
        double scale = toMm * PlacesPerMm;
        int n = 0, i = Vector256.IsHardwareAccelerated ? Eights(coordinates, scale, most, at, draws, out n) : 0;
        for (; i + 2 < coordinates.Length; i += 3)
        {
            uint draw = Mixed(Start + A * Place(coordinates[i], scale) + B * Place(coordinates[i + 1], scale) + C * Place(coordinates[i + 2], scale));
            if (draw > most) continue;
            (at[n], draws[n]) = (i, (ushort)(draw >> 16));
            n++;
        }
        return n;
    }

    private static uint Place(double value, double scale) => (uint)BitConverter.DoubleToInt64Bits(Math.Abs(value) * scale + Shift);

    private static uint Mixed(uint h)
    {
        h = (h ^ (h >> 16)) * First;
        h = (h ^ (h >> 13)) * Second;
        return h ^ (h >> 16);
    }

    // Returns how many coordinates were dealt with.
    private static int Eights(ReadOnlySpan<double> coordinates, double scale, uint most, Span<int> at, Span<ushort> draws, out int n)
    {
        // Four numbers at a time start with x, y or z in turn; so do eight.
        Vector256<int> s0 = Vector256.Create(-1, 0, 0, -1, 0, 0, -1, 0), s1 = Vector256.Create(0, -1, 0, 0, -1, 0, 0, -1), s2 = Vector256.Create(0, 0, -1, 0, 0, -1, 0, 0);
        Vector256<int> px = Vector256.Create(0, 3, 6, 1, 4, 7, 2, 5), py = Vector256.Create(1, 4, 7, 2, 5, 0, 3, 6), pz = Vector256.Create(2, 5, 0, 3, 6, 1, 4, 7);
        Vector256<double> per = Vector256.Create(scale), shift = Vector256.Create(Shift);
        Vector256<uint> wanted = Vector256.Create(most);
        Span<uint> eight = stackalloc uint[8];
        int i = 0;
        n = 0;
        for (; i + 24 <= coordinates.Length; i += 24)
        {
            Vector256<int> v0 = Places(coordinates, i), v1 = Places(coordinates, i + 8), v2 = Places(coordinates, i + 16);
            Vector256<uint> x = Vector256.Shuffle(Pick(s0, v0, s1, v1, v2), px).AsUInt32(), y = Vector256.Shuffle(Pick(s1, v0, s2, v1, v2), py).AsUInt32(), z = Vector256.Shuffle(Pick(s2, v0, s0, v1, v2), pz).AsUInt32();
            Vector256<uint> h = Vector256.Create(Start) + A * x + B * y + C * z;
            h = (h ^ (h >>> 16)) * First;
            h = (h ^ (h >>> 13)) * Second;
            h ^= h >>> 16;
            uint bits = Vector256.ExtractMostSignificantBits(Vector256.LessThanOrEqual(h, wanted));
            if (bits == 0) continue;
            h.StoreUnsafe(ref eight[0]);
            for (; bits != 0; bits &= bits - 1)
            {
                int k = BitOperations.TrailingZeroCount(bits);
                (at[n], draws[n]) = (i + 3 * k, (ushort)(eight[k] >> 16));
                n++;
            }
        }
        return i;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        Vector256<int> Places(ReadOnlySpan<double> c, int at) =>
            Vector256.Narrow((Vector256.Abs(Lanes.Full(c, at)) * per + shift).AsInt64(), (Vector256.Abs(Lanes.Full(c, at + 4)) * per + shift).AsInt64());

        // Of three vectors the numbers that are one and the same coordinate of eight points, in a jumbled order.
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        static Vector256<int> Pick(Vector256<int> first, Vector256<int> v0, Vector256<int> second, Vector256<int> v1, Vector256<int> v2) =>
            Vector256.ConditionalSelect(first, v0, Vector256.ConditionalSelect(second, v1, v2));
    }
}
