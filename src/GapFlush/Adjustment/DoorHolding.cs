using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Adjustment;

/// <summary>How a door is held: which movements its hinges, latches and stops fix, which they leave free, and which of them hold the same movement twice.</summary>
/// <remarks>
/// <para>Frame: the plan's axes, turns about the door's centre. Each adjuster holds the displacement of the door at its point along its direction to its move: one equation in six
/// movements. METHOD.md, eq. 1 to 4.</para>
/// <para>Fewer than six independent: the rest is free, and the door is taken to stay there. More: moves that do not suit one another bend the door; the displacement is then the one of least squares, all
/// holding equally hard, and <see cref="Misfit"/> says what is left at each.</para>
/// <para>Source: TRADE section 1 (two hinges fix five movements, a latch the sixth; more bend the door).</para>
/// </remarks>
public sealed class DoorHolding
{
    private readonly ThinSvd _svd;
    private readonly double _size;
    private readonly double[,] _surplus;

    private DoorHolding(Door door, IReadOnlyList<Adjuster> adjusters)
    {
        (Door, Adjusters, Centre) = (door, adjusters, door.Centre);
        _size = Math.Sqrt(door.Stations.Average(s => Math.Pow(s.Position.DistanceTo(Centre), 2)));
        int k = adjusters.Count;
        double[,] rows = new double[Math.Max(k, 1), 6];
        for (int i = 0; i < k; i++)
        {
            (Vector3 d, Vector3 turn) = (adjusters[i].Direction, (adjusters[i].Position - Centre).Cross(adjusters[i].Direction) / _size);
            (rows[i, 0], rows[i, 1], rows[i, 2], rows[i, 3], rows[i, 4], rows[i, 5]) = (d.X, d.Y, d.Z, turn.X, turn.Y, turn.Z);
        }
        _svd = ThinSvd.Of(rows);
        Rank = k == 0 ? 0 : _svd.Rank(DoorDisplacement.DefaultRankTolerance);
        _surplus = new double[k, k];
        for (int i = 0; i < k; i++)
        {
            for (int j = 0; j < k; j++)
            {
                double held = 0;
                for (int r = 0; r < Rank; r++) held += _svd.Left(r)[i] * _svd.Left(r)[j];
                double rest = (i == j ? 1 : 0) - held;
                _surplus[i, j] = Math.Abs(rest) < 1e-9 ? 0 : rest;
            }
        }
        Fighting = Groups();
        OpenMovements = [.. Enumerable.Range(0, 6).Where(IsOpen).Select(i => new Movement("xyz"[i % 3], i >= 3, null, null, null, null).Words)];
    }

    /// <summary>The door.</summary>
    public Door Door { get; }

    /// <summary>What holds it, in the order of the plan.</summary>
    public IReadOnlyList<Adjuster> Adjusters { get; }

    /// <summary>The point turned about.</summary>
    public Point3 Centre { get; }

    /// <summary>How many independent movements are held, 0 to 6.</summary>
    public int Rank { get; }

    /// <summary>Movements that nothing holds, or that are held only together with others, in words.</summary>
    public IReadOnlyList<string> OpenMovements { get; }

    /// <summary>Groups of adjusters that hold one movement more than once between them: moves that do not suit one another bend the door.</summary>
    public IReadOnlyList<IReadOnlyList<Adjuster>> Fighting { get; }

    /// <summary>How many movements are held once more than needed.</summary>
    public int Surplus => Adjusters.Count - Rank;

    /// <summary>The door as its adjusters of the plan hold it.</summary>
    public static DoorHolding Of(FitPlan plan, Door door) => new(door, [.. plan.Adjusters.Where(a => a.Door == door.Code)]);

    /// <summary>The displacement of the door when each adjuster is moved by so much, mm, in the order of <see cref="Adjusters"/>.</summary>
    public SmallDisplacement Displacement(ReadOnlySpan<double> movesMm)
    {
        if (movesMm.Length != Adjusters.Count) throw new ArgumentException($"{Adjusters.Count} moves are needed, one for each adjuster; found {movesMm.Length}.", nameof(movesMm));
        double[] x = movesMm.Length == 0 ? new double[6] : _svd.Solve(movesMm, Rank);
        return new(new(x[0], x[1], x[2]), new Vector3(x[3], x[4], x[5]) / _size, Centre);
    }

    /// <summary>By how much each adjuster pulls against the others after some moves, mm: its move less where the stiff door stands there.</summary>
    public double[] Misfit(ReadOnlySpan<double> movesMm)
    {
        double[] misfit = new double[movesMm.Length];
        for (int i = 0; i < misfit.Length; i++)
            for (int j = 0; j < misfit.Length; j++) misfit[i] += _surplus[i, j] * movesMm[j];
        return misfit;
    }

    /// <summary>The misfit at one adjuster for 1 mm at each: one factor an adjuster.</summary>
    internal double[] MisfitRow(int adjuster) => [.. Enumerable.Range(0, Adjusters.Count).Select(j => _surplus[adjuster, j])];

    /// <summary>How the door is held, in sentences: free movements first, then what fights.</summary>
    public IReadOnlyList<string> Words
    {
        get
        {
            List<string> words = [];
            if (Rank < 6)
            {
                int free = 6 - Rank;
                words.Add($"The door is not held: {(Adjusters.Count == 0 ? "the plan gives it no adjusters" : $"{List(Adjusters)} together fix {Rank} of its six movements")} and leave {And(OpenMovements)} free"
                    + (OpenMovements.Count > free ? Invariant($" ({free} independent combination{(free == 1 ? "" : "s")} of them)") : "")
                    + ". It is taken to stay where it is there. If something else holds it, add that to adjusters.csv, with minimum and maximum 0 where it cannot be moved.");
            }
            foreach (IReadOnlyList<Adjuster> group in Fighting)
            {
                words.Add($"Held more than once: {List(group)} can fight one another. Moves that do not suit one another bend the door, and the fit then depends on the order of adjustment; move them together as told, and last free each in turn to see that the door does not spring.");
            }
            if (words.Count == 0) words.Add($"{List(Adjusters)} hold the six movements of the door, each once: nothing is free, and none fights another.");
            return words;
        }
    }

    private bool IsOpen(int movement)
    {
        double open = 0;
        for (int r = Rank; r < 6; r++) open += _svd.Right(r)[movement] * _svd.Right(r)[movement];
        return Math.Sqrt(open) >= 1e-3;   // as for readings: far above rounding
    }

    // An adjuster is named where the others would take up at least a twentieth of its lone move: below that nobody sees it bend the door.
    private List<IReadOnlyList<Adjuster>> Groups()
    {
        const double named = 0.05;
        int k = Adjusters.Count;
        int[] group = [.. Enumerable.Range(0, k)];
        for (int i = 0; i < k; i++)
        {
            for (int j = 0; j < i; j++)
            {
                if (Math.Abs(_surplus[i, j]) < named / 5 || group[i] == group[j]) continue;
                (int from, int to) = (Math.Max(group[i], group[j]), Math.Min(group[i], group[j]));
                for (int m = 0; m < k; m++)
                    if (group[m] == from) group[m] = to;
            }
        }
        return [.. Enumerable.Range(0, k).GroupBy(i => group[i]).Where(g => g.Any(i => _surplus[i, i] >= named)).Select(g => (IReadOnlyList<Adjuster>)[.. g.Where(i => _surplus[i, i] >= named).Select(i => Adjusters[i])])];
    }

    private static string List(IEnumerable<Adjuster> adjusters) => And([.. adjusters.Select(a => a.Name)]);

    private static string And(IReadOnlyList<string> words) => words.Count <= 1 ? words.FirstOrDefault("") : $"{string.Join(", ", words.Take(words.Count - 1))} and {words[^1]}";
}
