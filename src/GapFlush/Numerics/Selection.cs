namespace GapFlush.Numerics;

/// <summary>Order statistics without sorting everything; for inner loops.</summary>
/// <remarks>Method: C. A. R. Hoare's FIND with the middle of three as pivot [from memory]. Values are reordered; NaN is not allowed.</remarks>
internal static class Selection
{
    /// <summary>The value that a sort would put at place <paramref name="n"/>, from 0; smaller ones end up before it.</summary>
    public static double Nth(Span<double> values, int n)
    {
        int low = 0, high = values.Length - 1;
        while (low < high)
        {
            double a = values[low], b = values[(low + high) / 2], c = values[high], pivot = Math.Max(Math.Min(a, b), Math.Min(Math.Max(a, b), c));
            int i = low, j = high;
            while (i <= j)
            {
                while (values[i] < pivot) i++;
                while (values[j] > pivot) j--;
                if (i > j) break;
                (values[i], values[j]) = (values[j], values[i]);
                i++;
                j--;
            }
            if (n <= j) high = j;
            else if (n >= i) low = i;
            else break;
        }
        return values[n];
    }

    /// <summary>The median: of an even count the mean of the two in the middle.</summary>
    public static double Median(Span<double> values)
    {
        int n = values.Length;
        double upper = Nth(values, n / 2);
        if (n % 2 == 1) return upper;
        double lower = values[0];
        foreach (double v in values[..(n / 2)]) lower = Math.Max(lower, v);
        return (lower + upper) / 2;
    }
}
