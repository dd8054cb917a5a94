namespace GapFlush.Capability;

/// <summary>The least count that shows something which more values only show better.</summary>
internal static class CountSearch
{
    private const int Most = 10_000_000;

    /// <summary>The least count above <paramref name="low"/> for which it is shown, by doubling and then halving; null when ten million would not do.</summary>
    public static int? Least(int low, int high, Func<int, bool> shown)
    {
        while (!shown(high))
        {
            low = high;
            high *= 2;
            if (high > Most) return null;
        }
        while (high - low > 1)
        {
            int middle = low + (high - low) / 2;
            if (shown(middle)) high = middle; else low = middle;
        }
        return high;
    }
}
