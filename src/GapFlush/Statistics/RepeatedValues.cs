namespace GapFlush.Statistics;

/// <summary>A sample in which values come again, as readings rounded to a hundredth do: a function is worked out once for each different value.</summary>
/// <remarks>Sums run in the order of the sample, so they are the same to the last bit as if every value had been worked out by itself.</remarks>
internal sealed class RepeatedValues
{
    private readonly int[] _places;

    /// <summary>Sorts out which values of a sample are the same.</summary>
    /// <param name="values">The values, in their order.</param>
    /// <param name="sorted">The same values in ascending order.</param>
    public RepeatedValues(ReadOnlySpan<double> values, ReadOnlySpan<double> sorted)
    {
        List<double> different = [];
        foreach (double v in sorted)
        {
            if (different.Count == 0 || different[^1] != v) different.Add(v);
        }
        Different = [.. different];
        _places = new int[values.Length];
        for (int i = 0; i < values.Length; i++) _places[i] = Array.BinarySearch(Different, values[i]);
    }

    /// <summary>Sorts out which values of a sample are the same.</summary>
    public static RepeatedValues Of(IReadOnlyList<double> values)
    {
        double[] inOrder = [.. values], sorted = [.. values];
        Array.Sort(sorted);
        return new(inOrder, sorted);
    }

    /// <summary>Number of values.</summary>
    public int Count => _places.Length;

    /// <summary>The different values, ascending.</summary>
    public double[] Different { get; }

    /// <summary>For each value in order, where it stands in <see cref="Different"/>.</summary>
    public ReadOnlySpan<int> Places => _places;

    /// <summary>What a function makes of each different value.</summary>
    public double[] OfDifferent(Func<double, double> function) => Array.ConvertAll(Different, v => function(v));

    /// <summary>Sum over the sample of what stands beside its different values.</summary>
    public double Sum(double[] ofDifferent)
    {
        double sum = 0;
        foreach (int place in _places) sum += ofDifferent[place];
        return sum;
    }

    /// <summary>Sum over the sample of a function.</summary>
    public double Sum(Func<double, double> function) => Sum(OfDifferent(function));

    /// <summary>Mean over the sample of a function.</summary>
    public double Average(Func<double, double> function) => Sum(function) / Count;

    /// <summary>The sample with something else in the place of each different value.</summary>
    public double[] Each(double[] ofDifferent)
    {
        double[] all = new double[_places.Length];
        for (int i = 0; i < all.Length; i++) all[i] = ofDifferent[_places[i]];
        return all;
    }
}
