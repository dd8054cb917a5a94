using GapFlush.Numerics;
using MathNet.Numerics.LinearAlgebra;

namespace GapFlush.Capability;

/// <summary>Average run lengths: after how many points a chart signals on average, normal and independent values.</summary>
/// <remarks>
/// <para>Method: CUSUM and EWMA by the integral equation on Gauss-Legendre nodes (Nyström); charts with run rules by a Markov chain over the zones
/// of the last points.</para>
/// <para>Accuracy: 7 digits or better (StatisticsReferenceTests; the charts themselves simulated in ChartSimulationTests).</para>
/// <para>Source: J. M. Lucas and R. B. Crosier, Technometrics 24 (1982) 199; S. V. Crowder, Technometrics 29 (1987) 401; C. W. Champ and W. H. Woodall, Technometrics 29 (1987) 393
/// [all from memory].</para>
/// </remarks>
public static class RunLengths
{
    /// <summary>Of a one-sided tabular CUSUM.</summary>
    /// <param name="slack">k, in standard deviations.</param>
    /// <param name="decision">h, in standard deviations.</param>
    /// <param name="shift">True mean less target, in standard deviations.</param>
    /// <param name="start">Where the sum starts, in standard deviations.</param>
    public static double OneSidedCusum(double slack, double decision, double shift, double start = 0) => Cusum(slack, decision, shift, start).FromStart;

    /// <summary>Of a two-sided tabular CUSUM; both sums start at <paramref name="start"/>.</summary>
    public static double TwoSidedCusum(double slack, double decision, double shift, double start = 0)
    {
        (double up, double upZero) = Cusum(slack, decision, shift, start);
        (double down, double downZero) = Cusum(slack, decision, -shift, start);
        return (up * downZero + upZero * down - upZero * downZero) / (upZero + downZero);
    }

    /// <summary>Of a two-sided EWMA chart with the limits of the long run.</summary>
    /// <param name="weight">λ.</param>
    /// <param name="width">L, limits in standard deviations of the average.</param>
    /// <param name="shift">True mean less target, in standard deviations of single values.</param>
    public static double Ewma(double weight, double width, double shift)
    {
        double h = width * Math.Sqrt(weight / (2 - weight));
        // With a small weight the kernel is a narrow ridge: nodes must stand closer than its width.
        int n = Math.Clamp((int)(60 * h / weight / 4), 160, 600);
        (double[] nodes, double[] weights) = GaussLegendre.Rule(n);
        double Kernel(double from, int j) => NormalDistribution.Density((h * nodes[j] - (1 - weight) * from) / weight - shift) * h * weights[j] / weight;
        Matrix<double> a = Matrix<double>.Build.Dense(n, n, (i, j) => (i == j ? 1 : 0) - Kernel(h * nodes[i], j));
        Vector<double> run = a.Solve(Vector<double>.Build.Dense(n, 1));
        double sum = 1;
        for (int j = 0; j < n; j++) sum += Kernel(0, j) * run[j];
        return sum;
    }

    /// <summary>In control, of a chart of single values with three-sigma limits and further rules.</summary>
    /// <param name="twoOfThree">Two of three beyond two sigma on one side counts.</param>
    /// <param name="fourOfFive">Four of five beyond one sigma on one side counts.</param>
    /// <param name="sameSide">So many in a row on one side count; 0 for no such rule.</param>
    /// <exception cref="ArgumentException">A run of one.</exception>
    public static double ThreeSigma(bool twoOfThree = false, bool fourOfFive = false, int sameSide = 0)
    {
        if (sameSide is 1 or < 0) throw new ArgumentException("A run on one side has two points or more.", nameof(sameSide));
        double[] zone = [NormalDistribution.Cdf(1) - 0.5, NormalDistribution.Cdf(2) - NormalDistribution.Cdf(1), NormalDistribution.Cdf(3) - NormalDistribution.Cdf(2)];
        Dictionary<(int TwoOld, int TwoNew, int Ones, int Run), int> states = [];
        List<(int From, int To, double Probability)> moves = [];
        Queue<(int TwoOld, int TwoNew, int Ones, int Run)> open = new();
        (int, int, int, int) none = (0, 0, Packed([0, 0, 0, 0]), 0);
        states[none] = 0;
        open.Enqueue(none);
        while (open.TryDequeue(out (int TwoOld, int TwoNew, int Ones, int Run) state))
        {
            foreach (int side in (int[])[1, -1])
            {
                for (int z = 0; z < 3; z++)
                {
                    int two = z >= 2 ? side : 0, run = state.Run * side >= 0 ? state.Run + side : side;
                    int[] ones = [.. Unpacked(state.Ones), z >= 1 ? side : 0];
                    if (twoOfThree && (Count(1, state.TwoOld, state.TwoNew, two) >= 2 || Count(-1, state.TwoOld, state.TwoNew, two) >= 2)) continue;
                    if (fourOfFive && (Count(1, ones) >= 4 || Count(-1, ones) >= 4)) continue;
                    if (sameSide > 0 && Math.Abs(run) >= sameSide) continue;
                    (int, int, int, int) next = (twoOfThree ? state.TwoNew : 0, twoOfThree ? two : 0, fourOfFive ? Packed(ones[1..]) : none.Item3, sameSide > 0 ? run : 0);
                    if (!states.TryGetValue(next, out int number))
                    {
                        number = states[next] = states.Count;
                        open.Enqueue(next);
                    }
                    moves.Add((states[state], number, zone[z]));
                }
            }
        }
        Matrix<double> rest = Matrix<double>.Build.DenseIdentity(states.Count);
        foreach ((int from, int to, double probability) in moves) rest[from, to] -= probability;
        return rest.Solve(Vector<double>.Build.Dense(states.Count, 1))[0];
    }

    private static (double FromStart, double FromZero) Cusum(double slack, double decision, double shift, double start)
    {
        int n = Math.Clamp((int)(24 * decision), 120, 500);
        (double[] nodes, double[] weights) = GaussLegendre.Rule(n);
        double[] points = [0, .. nodes.Select(x => (x + 1) * decision / 2)];
        double Stay(double from) => NormalDistribution.Cdf(slack - from - shift);
        double Kernel(double from, int j) => NormalDistribution.Density(points[j] + slack - from - shift) * weights[j - 1] * decision / 2;
        Matrix<double> a = Matrix<double>.Build.Dense(n + 1, n + 1, (i, j) => (i == j ? 1 : 0) - (j == 0 ? Stay(points[i]) : Kernel(points[i], j)));
        Vector<double> run = a.Solve(Vector<double>.Build.Dense(n + 1, 1));
        double sum = 1 + Stay(start) * run[0];
        for (int j = 1; j <= n; j++) sum += Kernel(start, j) * run[j];
        return (sum, run[0]);
    }

    private static int Count(int side, params ReadOnlySpan<int> marks)
    {
        int hits = 0;
        foreach (int m in marks)
        {
            if (m == side) hits++;
        }
        return hits;
    }

    private static int Packed(int[] marks) => marks.Aggregate(0, (sum, m) => sum * 3 + m + 1);

    private static int[] Unpacked(int packed) => [packed / 27 - 1, packed / 9 % 3 - 1, packed / 3 % 3 - 1, packed % 3 - 1];
}
