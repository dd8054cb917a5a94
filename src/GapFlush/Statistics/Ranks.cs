namespace GapFlush.Statistics;

/// <summary>Ranks with ties sharing their mean.</summary>
internal static class Ranks
{
    /// <summary>The rank of each value, from 1, and the sizes of the groups of equal values.</summary>
    public static (double[] Ranks, IReadOnlyList<int> Ties) Of(IReadOnlyList<double> values)
    {
        int[] order = [.. Enumerable.Range(0, values.Count).OrderBy(i => values[i])];
        double[] ranks = new double[values.Count];
        List<int> ties = [];
        for (int i = 0; i < order.Length;)
        {
            int j = i;
            while (j < order.Length && values[order[j]] == values[order[i]]) j++;
            for (int k = i; k < j; k++) ranks[order[k]] = (i + 1 + j) / 2.0;
            ties.Add(j - i);
            i = j;
        }
        return (ranks, ties);
    }
}
