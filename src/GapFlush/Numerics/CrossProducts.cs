using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace GapFlush.Numerics;

/// <summary>Sums of products of columns, for the normal equations of small fits.</summary>
internal static class CrossProducts
{
    /// <summary>Adds, for every pair of chosen columns, the sum over rows of weight times one times the other.</summary>
    /// <param name="columns">One column after the other, each <paramref name="stride"/> long.</param>
    /// <param name="stride">Length of a column.</param>
    /// <param name="chosen">Which columns.</param>
    /// <param name="weight">Weight of each row; as many as rows, a multiple of four.</param>
    /// <param name="sums">For the k-th and l-th chosen column with k at most l, place k times their number plus l, in four parts; the other places hold nothing of use.</param>
    public static void Add(ReadOnlySpan<double> columns, int stride, ReadOnlySpan<int> chosen, ReadOnlySpan<double> weight, Span<Vector256<double>> sums)
    {
        int n = weight.Length, m = chosen.Length;
        if (n % Lanes.Width != 0 || n > stride) throw new ArgumentException("Rows are taken four at a time, and no more than a column holds.", nameof(weight));
        foreach (int c in chosen) ArgumentOutOfRangeException.ThrowIfGreaterThan((c + 1) * stride, columns.Length, nameof(chosen));
        ref double first = ref MemoryMarshal.GetReference(columns), w = ref MemoryMarshal.GetReference(weight);
        // Two columns against four at a time: what is read once is used several times.
        for (int k = 0; k < m; k += 2)
        {
            int next = Math.Min(k + 1, m - 1);
            ref double a0 = ref Column(ref first, k, chosen, stride), a1 = ref Column(ref first, next, chosen, stride);
            for (int l = k; l < m; l += 4)
            {
                (int l1, int l2, int l3) = (Math.Min(l + 1, m - 1), Math.Min(l + 2, m - 1), Math.Min(l + 3, m - 1));
                ref double b0 = ref Column(ref first, l, chosen, stride), b1 = ref Column(ref first, l1, chosen, stride), b2 = ref Column(ref first, l2, chosen, stride), b3 = ref Column(ref first, l3, chosen, stride);
                Vector256<double> s00 = default, s01 = default, s02 = default, s03 = default, s10 = default, s11 = default, s12 = default, s13 = default;
                for (nuint i = 0; i < (nuint)n; i += Lanes.Width)
                {
                    Vector256<double> wi = Vector256.LoadUnsafe(ref w, i), p = wi * Vector256.LoadUnsafe(ref a0, i), q = wi * Vector256.LoadUnsafe(ref a1, i);
                    Vector256<double> b = Vector256.LoadUnsafe(ref b0, i);
                    s00 = Vector256.FusedMultiplyAdd(p, b, s00);
                    s10 = Vector256.FusedMultiplyAdd(q, b, s10);
                    b = Vector256.LoadUnsafe(ref b1, i);
                    s01 = Vector256.FusedMultiplyAdd(p, b, s01);
                    s11 = Vector256.FusedMultiplyAdd(q, b, s11);
                    b = Vector256.LoadUnsafe(ref b2, i);
                    s02 = Vector256.FusedMultiplyAdd(p, b, s02);
                    s12 = Vector256.FusedMultiplyAdd(q, b, s12);
                    b = Vector256.LoadUnsafe(ref b3, i);
                    s03 = Vector256.FusedMultiplyAdd(p, b, s03);
                    s13 = Vector256.FusedMultiplyAdd(q, b, s13);
                }
                // By place, not by a slice for each row: code compiled ahead calls for a slice, and a call turns all the sums out of their registers.
                int row = k * m;
                sums[row + l] += s00;
                if (l1 > l) sums[row + l1] += s01;
                if (l2 > l1) sums[row + l2] += s02;
                if (l3 > l2) sums[row + l3] += s03;
                if (next == k) continue;
                row = next * m;
                sums[row + l] += s10;
                if (l1 > l) sums[row + l1] += s11;
                if (l2 > l1) sums[row + l2] += s12;
                if (l3 > l2) sums[row + l3] += s13;
            }
        }
    }

    private static ref double Column(ref double first, int k, ReadOnlySpan<int> chosen, int stride) => ref Unsafe.Add(ref first, chosen[k] * stride);
}
