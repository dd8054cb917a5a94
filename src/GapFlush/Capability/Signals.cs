namespace GapFlush.Capability;

/// <summary>Numbers the points of a series that meet a condition.</summary>
internal static class Signals
{
    /// <summary>Places, from 1, of the values that meet a condition.</summary>
    public static IReadOnlyList<int> Where(IReadOnlyList<double> values, Func<double, bool> condition) => Where(values.Count, i => condition(values[i]));

    /// <summary>Places, from 1, at which a condition on the index holds.</summary>
    public static IReadOnlyList<int> Where(int count, Func<int, bool> condition)
    {
        List<int> at = [];
        for (int i = 0; i < count; i++)
        {
            if (condition(i)) at.Add(i + 1);
        }
        return at;
    }
}
