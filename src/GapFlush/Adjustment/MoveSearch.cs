using GapFlush.Numerics;

namespace GapFlush.Adjustment;

/// <summary>Finds the moves of best score, exactly: branch and bound over the places of the adjusters and over which values are let outside.</summary>
/// <remarks>
/// <para>Method: METHOD.md, eq. 9 to 12. A node is a box of places with some values taken as outside on a named side and some sides taken as held. What lies outside anywhere in the box is
/// counted without solving anything. Then a linear programme asks whether all other values can be inside together. If not, it names a few that contradict one another, and one
/// of these must go: two branches. If so, its optimum bounds excess and margin; where an adjuster stands between two of its places there, the box is cut there.</para>
/// <para>Exact: a branch is dropped only where its bound is no better than an answer in hand by more than <see cref="FitScore.Same"/>. After <see cref="MostNodes"/> nodes the search
/// stops with the best answer in hand and says so (<see cref="IsProven"/>).</para>
/// <para>Accuracy: the same score as trying all places in turn, on 400 random small cases (MoveSearchTests).</para>
/// <para>Source: naming and covering contradictory rows, J. N. M. van Loon, Eur. J. Oper. Res. 8 (1981) 283; M. Parker and J. Ryan, Ann. Math. Artif. Intell. 17 (1996) 107 [both from memory].</para>
/// </remarks>
internal sealed class MoveSearch
{
    /// <summary>The search gives up after so many nodes.</summary>
    public const int MostNodes = 20_000;

    private const double Far = 1000;
    private const byte Free = 0, Held = 1, Out = 2;
    private readonly FitProblem _problem;
    private readonly RowProgram _program;
    private readonly int _k;
    private readonly double[] _low, _high, _objective, _least, _most, _hardUp, _hardDown, _softUp, _softDown;
    private readonly int[] _upOwner, _downOwner;
    private readonly List<int> _owner = [];
    private double[] _best = [];
    private double[] _bestValues = [];
    private FitScore _score;

    private MoveSearch(FitProblem problem)
    {
        (_problem, _k) = (problem, problem.Moves);
        _program = new(_k + 2);
        int q = problem.Quantities.Length;
        (_low, _high, _objective) = (new double[_k + 2], new double[_k + 2], new double[_k + 2]);
        (_least, _most, _hardUp, _hardDown, _softUp, _softDown) = (new double[q], new double[q], new double[q], new double[q], new double[q], new double[q]);
        (_upOwner, _downOwner) = (new int[q], new int[q]);
    }

    /// <summary>The moves found.</summary>
    public IReadOnlyList<double> Moves => _best;

    /// <summary>Their score.</summary>
    public FitScore Score => _score;

    /// <summary>True where nothing better exists.</summary>
    public bool IsProven { get; private set; } = true;

    /// <summary>Nodes looked at.</summary>
    public int Nodes { get; private set; }

    private sealed record Node(double[] Low, double[] High, byte[] State);

    /// <summary>Searches.</summary>
    /// <param name="problem">The problem.</param>
    /// <param name="starts">Moves to begin from; they are put to the nearest allowed places.</param>
    /// <param name="mostNodes">Nodes after which to give up.</param>
    /// <returns>Null where no allowed places are compatible with one another.</returns>
    public static MoveSearch? Solve(FitProblem problem, IEnumerable<double[]> starts, int mostNodes = MostNodes)
    {
        MoveSearch search = new(problem);
        search.Begin(starts);
        search.Run(mostNodes);
        return search._best.Length == problem.Moves && search._bestValues.Length > 0 ? search : null;
    }

    private void Begin(IEnumerable<double[]> starts)
    {
        _score = new(int.MaxValue, double.PositiveInfinity, double.NegativeInfinity);
        foreach (double[] start in starts.Append(new double[_k]))
        {
            double[] at = [.. start.Select((v, j) => _problem.Positions[j].Nearest(v))];
            LocalSearch.Improve(_problem, at);
            Offer(at);
        }
    }

    private void Offer(double[] moves)
    {
        if (!_problem.IsCompatible(moves)) return;
        FitScore score = _problem.Score(moves);
        if (_bestValues.Length > 0 && !score.IsBetterThan(_score)) return;
        (_best, _score) = ([.. moves], score);
        _bestValues = new double[Math.Max(1, _problem.Quantities.Length)];
        _problem.At(moves, _bestValues);
    }

    private void Run(int mostNodes)
    {
        FitProblem.Position[] positions = _problem.Positions;
        Stack<Node> open = new();
        open.Push(new([.. positions.Select(p => p.Values?[0] ?? p.Low)], [.. positions.Select(p => p.Values?[^1] ?? p.High)], new byte[_problem.Pieces.Length]));
        while (open.TryPop(out Node? node))
        {
            if (++Nodes > mostNodes)
            {
                IsProven = false;
                return;
            }
            Visit(node, open);
        }
    }

    private void Visit(Node node, Stack<Node> open)
    {
        bool[] isOut = new bool[_problem.AskedValues.Length];
        if (!Propagate(node, isOut)) return;
        int count = isOut.Count(o => o);
        if (count > _score.Outside) return;
        RowProgram.End end = Relax(node, isOut, null, out double excess, out double margin, out double[] moves);
        if (end == RowProgram.End.Solved)
        {
            if (!new FitScore(count, excess, margin).IsBetterThan(_score)) return;
            int cut = MostBetween(node, moves);
            Offer([.. moves.Select((v, j) => _problem.Positions[j].Nearest(Math.Clamp(v, node.Low[j], node.High[j])))]);
            if (cut >= 0) Cut(node, cut, moves[cut], open);
            return;
        }
        if (end == RowProgram.End.Stalled)
        {
            int widest = Enumerable.Range(0, _k).Where(j => _problem.Positions[j].Values is not null).DefaultIfEmpty(-1).MaxBy(j => j < 0 ? 0 : node.High[j] - node.Low[j]);
            if (widest >= 0 && node.High[widest] > node.Low[widest]) Cut(node, widest, (node.Low[widest] + node.High[widest]) / 2, open);
            else IsProven = false;
            return;
        }
        List<int> contradictory = FreeOwners(node);
        if (contradictory.Count == 0 || count + 1 > _score.Outside) return;
        if (count + Disjoint(node, isOut, contradictory, _score.Outside - count) > _score.Outside) return;
        int piece = contradictory.MaxBy(ValueAtBest);
        Node outside = new([.. node.Low], [.. node.High], [.. node.State]), held = node;
        outside.State[piece] = Out;
        held.State[piece] = Held;
        bool outFirst = ValueAtBest(piece) > 0;
        open.Push(outFirst ? held : outside);
        open.Push(outFirst ? outside : held);
    }

    private double ValueAtBest(int piece)
    {
        if (_bestValues.Length == 0) return 0;
        FitProblem.Piece p = _problem.Pieces[piece];
        return p.Sign * (_bestValues[p.Quantity] - (p.Less < 0 ? 0 : _bestValues[p.Less])) - p.Limit;
    }

    // Bounds on every quantity from the box and from what the branch holds; what is outside anywhere in there is marked. False where the branch contradicts itself.
    private bool Propagate(Node node, bool[] isOut)
    {
        for (int q = 0; q < _least.Length; q++)
        {
            FitProblem.Quantity quantity = _problem.Quantities[q];
            double low = quantity.Base, high = low;
            for (int j = 0; j < _k; j++)
            {
                double a = quantity.Effect[j] * node.Low[j], b = quantity.Effect[j] * node.High[j];
                (low, high) = (low + Math.Min(a, b), high + Math.Max(a, b));
            }
            (_least[q], _most[q]) = (low, high);
        }
        FitProblem.Piece[] pieces = _problem.Pieces;
        for (int i = 0; i < pieces.Length; i++)
        {
            FitProblem.Piece p = pieces[i];
            if (node.State[i] == Out) isOut[p.Asked] = true;
            if (p.Less >= 0 || node.State[i] == Free) continue;
            double limit = p.Limit + FitProblem.Inside / 2;
            if (node.State[i] == Out == p.Sign > 0) _least[p.Quantity] = Math.Max(_least[p.Quantity], p.Sign * limit);
            else _most[p.Quantity] = Math.Min(_most[p.Quantity], p.Sign * limit);
        }
        for (int q = 0; q < _least.Length; q++)
            if (_least[q] > _most[q] + 1e-9) return false;
        for (int i = 0; i < pieces.Length; i++)
        {
            FitProblem.Piece p = pieces[i];
            if (node.State[i] == Out || isOut[p.Asked]) continue;
            double least = p.Less < 0 ? (p.Sign > 0 ? _least[p.Quantity] : -_most[p.Quantity]) : LeastDifference(node, p.Quantity, p.Less);
            if (least <= p.Limit + 2 * FitProblem.Inside) continue;
            if (node.State[i] == Held) return false;
            (node.State[i], isOut[p.Asked]) = (Out, true);
        }
        return true;
    }

    private double LeastDifference(Node node, int plus, int minus)
    {
        double[] a = _problem.Quantities[plus].Effect, b = _problem.Quantities[minus].Effect;
        double sum = _problem.Quantities[plus].Base - _problem.Quantities[minus].Base;
        for (int j = 0; j < _k; j++)
        {
            double e = a[j] - b[j];
            sum += e > 0 ? e * node.Low[j] : e * node.High[j];
        }
        return sum;
    }

    // The rows of a branch: all values that are not outside are to be inside (hard) with a margin (soft); those outside stay so on their side.
    private RowProgram.End Relax(Node node, bool[] isOut, HashSet<int>? leftOut, out double excess, out double margin, out double[] moves)
    {
        (excess, margin, moves) = (0, double.NegativeInfinity, []);
        bool pulls = Build(node, isOut, leftOut);
        for (int j = 0; j < _k; j++) (_low[j], _high[j]) = (node.Low[j], node.High[j]);
        (_low[_k], _high[_k], _low[_k + 1], _high[_k + 1]) = (-Far, Far, 0, Far);
        if (pulls && leftOut is null)
        {
            Array.Clear(_objective);
            _objective[_k + 1] = -1;
            RowProgram.End first = _program.Solve(_objective, _low, _high);
            if (first != RowProgram.End.Solved) return first;
            excess = _program.Solution[_k + 1];
            if (new FitScore(isOut.Count(o => o), excess, Far).IsBetterThan(_score) is false)
            {
                moves = [.. _program.Solution[.._k]];
                return RowProgram.End.Solved;
            }
            _high[_k + 1] = excess + 1e-9;
        }
        Array.Clear(_objective);
        _objective[_k] = 1;
        RowProgram.End end = _program.Solve(_objective, _low, _high);
        if (end != RowProgram.End.Solved) return end;
        margin = _program.Solution[_k] >= Far - 1e-6 ? double.PositiveInfinity : _program.Solution[_k];
        moves = [.. _program.Solution[.._k]];
        return end;
    }

    private bool Build(Node node, bool[] isOut, HashSet<int>? leftOut)
    {
        Array.Fill(_hardUp, double.PositiveInfinity);
        Array.Fill(_hardDown, double.PositiveInfinity);
        Array.Fill(_softUp, double.PositiveInfinity);
        Array.Fill(_softDown, double.PositiveInfinity);
        Array.Fill(_upOwner, -1);
        Array.Fill(_downOwner, -1);
        _program.Clear();
        _owner.Clear();
        bool pulls = false;
        FitProblem.Piece[] pieces = _problem.Pieces;
        for (int i = 0; i < pieces.Length; i++)
        {
            FitProblem.Piece p = pieces[i];
            FitProblem.Asked asked = _problem.AskedValues[p.Asked];
            if (isOut[p.Asked])
            {
                if (node.State[i] == Out)
                {
                    double beyond = -p.Limit - FitProblem.Inside / 2;
                    if (p.Less >= 0) Row(p.Less, p.Quantity, 1, beyond, -1);
                    else if (p.Sign > 0) Tighten(_hardDown, _downOwner, p.Quantity, beyond, -1);
                    else Tighten(_hardUp, _upOwner, p.Quantity, beyond, -1);
                }
                if (asked.IsSetApart) continue;
                pulls = true;
                Row(p.Quantity, p.Less, p.Sign, p.Limit, -1, unknown: _k + 1, -1);
                continue;
            }
            if (leftOut?.Contains(p.Asked) == true) continue;
            int owner = node.State[i] == Free ? i : -1;
            double hard = p.Limit + FitProblem.Inside / 2, soft = p.Limit - asked.Guard;
            if (p.Less >= 0)
            {
                Row(p.Quantity, p.Less, 1, hard, owner);
                if (leftOut is null) Row(p.Quantity, p.Less, 1, soft, -1, _k, 1);
            }
            else if (p.Sign > 0)
            {
                Tighten(_hardUp, _upOwner, p.Quantity, hard, owner);
                _softUp[p.Quantity] = Math.Min(_softUp[p.Quantity], soft);
            }
            else
            {
                Tighten(_hardDown, _downOwner, p.Quantity, hard, owner);
                _softDown[p.Quantity] = Math.Min(_softDown[p.Quantity], soft);
            }
        }
        for (int q = 0; q < _hardUp.Length; q++)
        {
            if (double.IsFinite(_hardUp[q])) Row(q, -1, 1, _hardUp[q], _upOwner[q]);
            if (double.IsFinite(_hardDown[q])) Row(q, -1, -1, _hardDown[q], _downOwner[q]);
            if (leftOut is not null) continue;
            if (double.IsFinite(_softUp[q])) Row(q, -1, 1, _softUp[q], -1, _k, 1);
            if (double.IsFinite(_softDown[q])) Row(q, -1, -1, _softDown[q], -1, _k, 1);
        }
        foreach (double[] bend in _problem.Bending)
        {
            for (int sign = -1; sign <= 1; sign += 2)
            {
                Span<double> row = _program.Add(_problem.BendAllowanceMm);
                for (int j = 0; j < _k; j++) row[j] = sign * bend[j];
                _owner.Add(-1);
            }
        }
        return pulls;

        static void Tighten(double[] to, int[] owners, int quantity, double limit, int owner)
        {
            if (limit > to[quantity] || (limit == to[quantity] && owners[quantity] >= 0)) return;
            (to[quantity], owners[quantity]) = (limit, owner);
        }
    }

    private void Row(int quantity, int less, int sign, double limit, int owner, int unknown = -1, double factor = 0)
    {
        FitProblem.Quantity a = _problem.Quantities[quantity];
        FitProblem.Quantity? b = less < 0 ? null : _problem.Quantities[less];
        Span<double> row = _program.Add(limit - sign * (a.Base - (b?.Base ?? 0)));
        for (int j = 0; j < _k; j++) row[j] = sign * (a.Effect[j] - (b?.Effect[j] ?? 0));
        if (unknown >= 0) row[unknown] = factor;
        _owner.Add(owner);
    }

    private List<int> FreeOwners(Node node) => [.. _program.Conflict.Select(r => _owner[r]).Where(p => p >= 0 && node.State[p] == Free).Distinct()];

    // How many values must go at least: contradictions that share no value, counted one after another.
    private int Disjoint(Node node, bool[] isOut, List<int> first, int room)
    {
        HashSet<int> gone = [.. first.Select(p => _problem.Pieces[p].Asked)];
        int count = 1;
        while (count <= room)
        {
            if (Relax(node, isOut, gone, out _, out _, out _) != RowProgram.End.Impossible) return count;
            List<int> next = FreeOwners(node);
            if (next.Count == 0) return int.MaxValue / 2;
            count++;
            foreach (int p in next) gone.Add(_problem.Pieces[p].Asked);
        }
        return count;
    }

    private int MostBetween(Node node, double[] moves)
    {
        int found = -1;
        double farthest = 1e-7;
        for (int j = 0; j < _k; j++)
        {
            if (_problem.Positions[j].Values is null) continue;
            double off = Math.Abs(_problem.Positions[j].Nearest(moves[j]) - moves[j]);
            if (off > farthest && node.High[j] > node.Low[j]) (found, farthest) = (j, off);
        }
        return found;
    }

    private void Cut(Node node, int j, double at, Stack<Node> open)
    {
        double[] values = _problem.Positions[j].Values!;
        int i = Array.BinarySearch(values, at);
        if (i < 0) i = ~i - 1;
        i = Math.Clamp(i, 0, values.Length - 2);
        Node below = new([.. node.Low], [.. node.High], [.. node.State]), above = node;
        (below.High[j], above.Low[j]) = (Math.Min(values[i], node.High[j]), Math.Max(values[i + 1], node.Low[j]));
        bool belowFirst = at - values[i] < values[i + 1] - at;
        open.Push(belowFirst ? above : below);
        open.Push(belowFirst ? below : above);
    }
}
