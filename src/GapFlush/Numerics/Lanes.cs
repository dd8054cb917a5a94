using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace GapFlush.Numerics;

/// <summary>Numbers taken four at a time, whatever the processor: the same sums in the same order everywhere, so that results do not depend on the machine.</summary>
internal static class Lanes
{
    public const int Width = 4;

    /// <summary>The first multiple of the width that holds so many.</summary>
    public static int Padded(int count) => (count + Width - 1) / Width * Width;

    /// <summary>Four numbers from a place on; where they run out, <paramref name="rest"/>.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> Load(ReadOnlySpan<double> values, int at, double rest = 0) =>
        at + Width <= values.Length ? Vector256.Create(values.Slice(at, Width)) : Tail(values[at..], rest);

    /// <summary>Puts four numbers down from a place on; those that find no room are dropped.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Vector256<double> four, Span<double> values, int at)
    {
        if (at + Width <= values.Length) four.CopyTo(values.Slice(at, Width));
        else StoreTail(four, values[at..]);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static Vector256<double> Tail(ReadOnlySpan<double> values, double rest)
    {
        Span<double> four = [rest, rest, rest, rest];
        values.CopyTo(four);
        return Vector256.Create<double>(four);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static void StoreTail(Vector256<double> four, Span<double> values)
    {
        for (int i = 0; i < values.Length; i++) values[i] = four[i];
    }
}
