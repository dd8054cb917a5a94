using System.Runtime.CompilerServices;

namespace GapFlush.Sections;

/// <summary>A draw that a place decides: as good as random, but the same whenever the same place comes, in whatever order, and on either side of the aircraft.</summary>
internal static class PlaceDraw
{
    /// <summary>The draw of a place: 32 bits.</summary>
    /// <param name="x">First coordinate, mm.</param>
    /// <param name="y">Second coordinate, mm.</param>
    /// <param name="z">Third coordinate, mm.</param>
    /// <param name="perMm">How many places to a millimetre are told apart: the fewer, the less it matters what a format rounds off.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static uint Of(float x, float y, float z, float perMm)
    {
        uint h = (uint)(int)(Math.Abs(x) * perMm + 0.5f) * 0x9E3779B1 + (uint)(int)(Math.Abs(y) * perMm + 0.5f) * 0x85EBCA77 + (uint)(int)(Math.Abs(z) * perMm + 0.5f) * 0xC2B2AE3D;
        // The mixing steps of a known hash (A. Appleby's MurmurHash3, public domain; from memory).
        h = (h ^ (h >> 16)) * 0x85EBCA6B;
        h = (h ^ (h >> 13)) * 0xC2B2AE35;
        return h ^ (h >> 16);
    }
}
