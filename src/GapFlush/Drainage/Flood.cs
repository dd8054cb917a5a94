namespace GapFlush.Drainage;

/// <summary>Levels of standing water on a network: for each point the least, over all ways out, of the highest place on the way.</summary>
internal static class Flood
{
    /// <summary>The level at each point.</summary>
    /// <param name="network">The network; only its joints and outlets are used.</param>
    /// <param name="floor">Height of the floor at each point.</param>
    /// <param name="lip">Height at which water leaves over the lip at each point; infinite where there is none.</param>
    /// <returns>Levels; infinite where water cannot leave.</returns>
    public static double[] Levels(FloorNetwork network, double[] floor, double[] lip)
    {
        double[] level = new double[floor.Length];
        PriorityQueue<int, double> next = new();
        for (int n = 0; n < floor.Length; n++)
        {
            level[n] = Math.Min(network.Nodes[n].Point.IsOutlet ? floor[n] : double.PositiveInfinity, lip[n]);
            if (!double.IsPositiveInfinity(level[n])) next.Enqueue(n, level[n]);
        }
        while (next.TryDequeue(out int n, out double at))
        {
            if (at > level[n]) continue;
            foreach (int e in network.EdgesAt(n))
            {
                int other = network.Edges[e].A == n ? network.Edges[e].B : network.Edges[e].A;
                double reached = Math.Max(floor[other], at);
                if (reached >= level[other]) continue;
                level[other] = reached;
                next.Enqueue(other, reached);
            }
        }
        return level;
    }
}
