using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace GapFlush.Numerics;

/// <summary>Numbers taken four at a time, whatever the processor: the same sums in the same order everywhere, so that results do not depend on the machine.</summary>
/// <remarks>Four numbers go from method to method by reference where the method is not built into its caller: code that hands them over by value cannot be compiled ahead, and compiling it
/// at the start of a command takes longer than a fit.</remarks>
internal static class Lanes
{
    public const int Width = 4;

    /// <summary>The first multiple of the width that holds so many.</summary>
    public static int Padded(int count) => (count + Width - 1) / Width * Width;

    /// <summary>Four numbers from a place on; where they run out, <paramref name="rest"/>.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> Load(ReadOnlySpan<double> values, int at, double rest = 0)
    {
        if (at <= values.Length - Width) return Vector256.LoadUnsafe(in values[at]);
        Tail(values[at..], rest, out Vector256<double> tail);
        return tail;
    }

    /// <summary>Four numbers from a place on that are all there.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> Full(ReadOnlySpan<double> values, int at)
    {
        if (at > values.Length - Width) NoRoom();
        return Vector256.LoadUnsafe(in values[at]);
    }

    /// <summary>Puts four numbers down from a place on; those that find no room are dropped.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Store(Vector256<double> four, Span<double> values, int at)
    {
        if (at <= values.Length - Width)
        {
            four.StoreUnsafe(ref values[at]);
            return;
        }
        Vector256<double> copy = four;
        StoreTail(in copy, values[at..]);
    }

    /// <summary>Puts four numbers down from a place on where there is room for all.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Put(Vector256<double> four, Span<double> values, int at)
    {
        if (at > values.Length - Width) NoRoom();
        four.StoreUnsafe(ref values[at]);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static void Tail(ReadOnlySpan<double> values, double rest, out Vector256<double> tail)
    {
        Span<double> four = [rest, rest, rest, rest];
        values.CopyTo(four);
        tail = Vector256.LoadUnsafe(in four[0]);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static void StoreTail(in Vector256<double> four, Span<double> values)
    {
        Span<double> all = stackalloc double[Width];
        four.StoreUnsafe(ref all[0]);
        all[..values.Length].CopyTo(values);
    }

    private static void NoRoom() => throw new ArgumentException("Four numbers are taken at a time, and all of them must lie in the span.");
}
