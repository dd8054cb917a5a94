using GapFlush.Geometry;
using GapFlush.Numerics;

namespace GapFlush.Hanging;

/// <summary>The small rigid displacement of a door that best explains its gap and flush deviations together, and what it leaves unexplained.</summary>
/// <remarks>
/// <para>Frame: the plan's axes; turns about a stated point, by default the mean of the places read. Positive gap deviation: wider than nominal;
/// positive flush deviation: door prouder than nominal. The opposite displacement is the adjustment to make.</para>
/// <para>Method: METHOD.md, eq. 1 to 7. Least squares by singular values with weights 1/u²; robust: Huber, then Tukey's biweight at a fixed scale;
/// minimax: the exact linear programme, unweighted, in mm.</para>
/// <para>Rank: with turns scaled by the stated length, a direction whose singular value is below <see cref="DefaultRankTolerance"/> of the largest is
/// not determined. <see cref="Displacement"/> is then the shortest of all that explain the readings equally well, and the movements that the
/// readings do not fix have no value.</para>
/// <para>Uncertainty: from the scatter of the residuals where there are at least <see cref="LeastFreedomForScatter"/> degrees of freedom (t factor),
/// so the interval holds 95 % whatever common factor the stated uncertainties are wrong by; from the stated uncertainties (normal factor) where
/// there are fewer. It speaks of errors that differ from reading to reading: one that all readings share (a gauge's zero) is not in it.</para>
/// <para>No answer (null): no reading; for the robust fit fewer than <see cref="LeastFreedomForRobust"/> degrees of freedom, or no convergence.
/// Exact input gives an exact answer with intervals of no width.</para>
/// <para>Accuracy: against 60-digit values 1e-12 mm (reference group stations); 95 % intervals held the planted displacement in 93 to 97 % of
/// 1000 seeded doors for every movement and for all six together (DoorDisplacementTests).</para>
/// </remarks>
public sealed record DoorDisplacement
{
    /// <summary>A movement is determined when it shows in the readings by at least this share of what the best-seen movement shows. With readings good
    /// to 0.05 mm a movement at the limit would be known to some 10 mm only, and rounding of a plan's vectors to four digits would pass for a signal.</summary>
    public const double DefaultRankTolerance = 1e-3;

    /// <summary>From so many degrees of freedom on the scatter of the residuals is trusted more than the stated uncertainties.</summary>
    public const int LeastFreedomForScatter = 6;

    /// <summary>A robust fit needs so many degrees of freedom, or the good readings could not be told from the bad.</summary>
    public const int LeastFreedomForRobust = 6;

    /// <summary>Tuning constant of Huber's function, in scales: 95 % efficient for normal errors.</summary>
    public const double HuberConstant = 1.345;

    /// <summary>Tuning constant of Tukey's biweight, in scales: 95 % efficient for normal errors. A reading farther off counts for nothing.</summary>
    public const double TukeyConstant = 4.685;

    /// <summary>The robust fit stops when no explained value changes by more than this share of the scale.</summary>
    public const double RobustStop = 1e-7;

    private const int MostIterations = 1000;

    private readonly double[,] _covariance = new double[6, 6];

    private DoorDisplacement()
    {
    }

    /// <summary>What "best" means here.</summary>
    public required DisplacementMethod Method { get; init; }

    /// <summary>The displacement; the shortest one where the readings leave some movements open.</summary>
    public required SmallDisplacement Displacement { get; init; }

    /// <summary>The six movements: shifts along x, y, z, then turns about x, y, z.</summary>
    public required IReadOnlyList<Movement> Movements { get; init; }

    /// <summary>How many independent movements the readings determine, 0 to 6.</summary>
    public required int Rank { get; init; }

    /// <summary>Largest over smallest singular value of all six movements, turns scaled by <see cref="TurnScaleMm"/>; infinite where one is not seen at all.</summary>
    public required double Condition { get; init; }

    /// <summary>The length by which turns are scaled to compare with shifts, mm.</summary>
    public required double TurnScaleMm { get; init; }

    /// <summary>Readings minus rank.</summary>
    public required int DegreesOfFreedom { get; init; }

    /// <summary>Weighted sum of squared residuals over the degrees of freedom; 1 is expected where the stated uncertainties are right and the door has its
    /// nominal shape. Null where an uncertainty is not known, without degrees of freedom, or for another method than least squares.</summary>
    public double? ReducedChiSquare { get; init; }

    /// <summary>True where the intervals come from the scatter of the residuals, false where they come from the stated uncertainties.</summary>
    public bool IsScaledByScatter { get; init; }

    /// <summary>Factor from a standard uncertainty to the half width of a 95 % interval; null where there is no interval.</summary>
    public double? CoverageFactor95 { get; init; }

    /// <summary>Every reading with what the displacement explains of it, in the order given.</summary>
    public required IReadOnlyList<DisplacementResidual> Residuals { get; init; }

    /// <summary>Root mean square of the deviations, mm.</summary>
    public required double RmsBeforeMm { get; init; }

    /// <summary>Root mean square of the residuals, mm.</summary>
    public required double RmsAfterMm { get; init; }

    /// <summary>Largest absolute deviation, mm.</summary>
    public required double MaxBeforeMm { get; init; }

    /// <summary>Largest absolute residual, mm.</summary>
    public required double MaxAfterMm { get; init; }

    /// <summary>The residual of largest size.</summary>
    public DisplacementResidual Worst => Residuals.MaxBy(r => Math.Abs(r.ResidualMm))!;

    /// <summary>Root mean square that measuring alone would leave, mm: from the stated uncertainties, less what six movements take up. Null where one is unknown.</summary>
    public double? NoiseMm { get; init; }

    /// <summary>Shape: root mean square of what neither a displacement nor the stated uncertainties account for, mm; 0 where the residuals are no
    /// larger than measuring leaves. Null where an uncertainty is unknown.</summary>
    public double? ShapeMm => NoiseMm is double noise ? Math.Sqrt(Math.Max(0, RmsAfterMm * RmsAfterMm - noise * noise)) : null;

    /// <summary>Chance that measuring alone leaves residuals this large (chi-square, from the stated uncertainties); null where that cannot be said.</summary>
    public double? ChanceOfNoiseAlone { get; init; }

    /// <summary>True where the residuals are more than noise at the 1 % level: the rest is shape. Null where that cannot be said.</summary>
    public bool? ShapeIsProven => ChanceOfNoiseAlone is double p ? p < 0.01 : null;

    /// <summary>Iterations or exchanges made; 0 for least squares.</summary>
    public int Iterations { get; init; }

    /// <summary>Scale of the robust fit: in standard uncertainties where all are known, else mm. Null for other methods.</summary>
    public double? RobustScale { get; init; }

    /// <summary>The residuals that rule a minimax fit, with their sign, positive ones first; empty for other methods.</summary>
    public IReadOnlyList<(DisplacementResidual Residual, int Sign)> Active { get; init; } = [];

    /// <summary>Which movements the readings do not fix, as a sentence; null where all six are fixed.</summary>
    public string? UndeterminedWords
    {
        get
        {
            if (Rank == 6) return null;
            string[] open = [.. Movements.Where(m => m.Value is null).Select(m => m.Words)];
            int free = 6 - Rank;
            string movements = open.Length <= 1 ? open.FirstOrDefault("a movement") : $"{string.Join(", ", open[..^1])} and {open[^1]}";
            string how = open.Length > free ? Invariant($" ({free} independent combination{(free == 1 ? "" : "s")} of them)") : "";
            return $"The readings do not determine {movements}{how}; the displacement shown takes as little of them as it can.";
        }
    }

    /// <summary>Covariance of two components (0 to 2 shifts, mm; 3 to 5 turns, rad); null where there is no uncertainty.</summary>
    public double? Covariance(int first, int second) => CoverageFactor95 is null ? null : _covariance[first, second];

    /// <summary>Standard uncertainty of what the displacement explains at a place along a direction, mm; null where there is no uncertainty.</summary>
    public double? ExplainedUncertainty(Point3 place, Vector3 direction)
    {
        if (CoverageFactor95 is null) return null;
        double[] row = Row(direction, place - Displacement.About, 1);
        double variance = 0;
        for (int i = 0; i < 6; i++)
            for (int j = 0; j < 6; j++) variance += row[i] * _covariance[i, j] * row[j];
        return Math.Sqrt(Math.Max(0, variance));
    }

    /// <summary>Whether a displacement lies in the joint 95 % region of all determined movements together. METHOD.md, eq. 6.</summary>
    /// <returns>Null where there is no uncertainty, or it is zero.</returns>
    public bool? JointRegion95Holds(SmallDisplacement other)
    {
        if (CoverageFactor95 is null || Rank == 0) return null;
        SmallDisplacement there = other.StatedAbout(Displacement.About);
        double[,] scaled = new double[6, 6];
        double[] difference = new double[6];
        for (int i = 0; i < 6; i++)
        {
            difference[i] = (there[i] - Displacement[i]) * Scale(i);
            for (int j = 0; j < 6; j++) scaled[i, j] = _covariance[i, j] * Scale(i) * Scale(j);
        }
        ThinSvd svd = ThinSvd.Of(scaled);
        if (svd.Values[0] == 0) return null;
        double[] solved = svd.Solve(difference, Rank);
        double distance = Enumerable.Range(0, 6).Sum(i => difference[i] * solved[i]);
        double limit = IsScaledByScatter ? Rank * FisherDistribution.Quantile(0.95, Rank, DegreesOfFreedom) : ChiSquareDistribution.Quantile(0.95, Rank);
        return distance <= limit;

        double Scale(int i) => i < 3 ? 1 : TurnScaleMm;
    }

    /// <summary>Fits by least squares.</summary>
    /// <param name="deviations">Gap and flush deviations, in any order.</param>
    /// <param name="about">The point turned about; null for the mean of the places read.</param>
    /// <param name="turnScaleMm">Length by which turns are scaled, mm; null for the root mean square distance of the places from that point.</param>
    /// <param name="rankTolerance">Share of the largest singular value below which a movement is not determined.</param>
    /// <returns>Null where there is no reading.</returns>
    /// <exception cref="ArgumentException">A deviation is not finite, an uncertainty is not positive, or the scale or tolerance is not positive.</exception>
    public static DoorDisplacement? Fit(IReadOnlyList<SeamDeviation> deviations, Point3? about = null, double? turnScaleMm = null, double rankTolerance = DefaultRankTolerance)
    {
        Problem? problem = Problem.Of(deviations, about, turnScaleMm, rankTolerance);
        if (problem is null) return null;
        double[] weights = [.. Enumerable.Repeat(1.0, deviations.Count)];
        (double[] solution, ThinSvd svd, int rank) = problem.Solve(weights);
        return Describe(problem, DisplacementMethod.LeastSquares, solution, svd, rank, weights);
    }

    /// <summary>Fits robustly: a reading far from what all others say counts less, or not at all.</summary>
    /// <remarks>Huber's function with the scale estimated anew at every step (median of absolute residuals, the rank's smallest left out, over 0.6745),
    /// then Tukey's biweight with that scale held; both by reweighted least squares until no explained value changes by more than
    /// <see cref="RobustStop"/> scales.</remarks>
    /// <param name="deviations">Gap and flush deviations, in any order.</param>
    /// <param name="about">The point turned about; null for the mean of the places read.</param>
    /// <param name="turnScaleMm">Length by which turns are scaled, mm; null for the root mean square distance of the places from that point.</param>
    /// <param name="rankTolerance">Share of the largest singular value below which a movement is not determined.</param>
    /// <returns>Null with too few readings, where the readings that keep weight leave a movement open that all together fix, or without convergence.</returns>
    /// <exception cref="ArgumentException">As for <see cref="Fit"/>.</exception>
    public static DoorDisplacement? FitRobust(IReadOnlyList<SeamDeviation> deviations, Point3? about = null, double? turnScaleMm = null, double rankTolerance = DefaultRankTolerance)
    {
        Problem? problem = Problem.Of(deviations, about, turnScaleMm, rankTolerance);
        if (problem is null) return null;
        int n = deviations.Count;
        double[] weights = [.. Enumerable.Repeat(1.0, n)];
        (double[] solution, ThinSvd svd, int rank) = problem.Solve(weights);
        int fullRank = rank;
        if (n - fullRank < LeastFreedomForRobust) return null;
        double[] residuals = problem.WeightedResiduals(solution);
        ThinSvd unweighted = svd;
        // Where most readings fit exactly the scale is nothing but rounding; below this floor it would take good readings for bad.
        double largest = problem.Target.Max(Math.Abs), floor = Math.Max(1e-9 * residuals.Max(Math.Abs), 1e-10 * largest);
        double scale = 0;
        int iterations = 0;
        foreach (bool tukey in (bool[])[false, true])
        {
            bool converged = false;
            for (int i = 0; i < MostIterations && !converged; i++, iterations++)
            {
                if (!tukey) scale = Math.Max(floor, MedianScale(residuals, fullRank));
                if (scale == 0)
                {
                    converged = true;
                    break;
                }
                for (int k = 0; k < n; k++)
                {
                    double z = Math.Abs(residuals[k]) / scale;
                    weights[k] = tukey ? (z < TukeyConstant ? Math.Pow(1 - z / TukeyConstant * (z / TukeyConstant), 2) : 0) : (z <= HuberConstant ? 1 : HuberConstant / z);
                }
                solution = problem.Solve(weights, unweighted, fullRank);
                double[] next = problem.WeightedResiduals(solution);
                if (!double.IsFinite(next[0])) return null;
                double change = 0;
                for (int k = 0; k < n; k++) change = Math.Max(change, Math.Abs(next[k] - residuals[k]));
                residuals = next;
                converged = change <= Math.Max(RobustStop * scale, 1e-13 * largest);   // the second: rounding of the solution
            }
            if (!converged) return null;
        }
        (_, svd, rank) = problem.Solve(weights);
        if (rank < fullRank) return null;
        return Describe(problem, DisplacementMethod.Robust, solution, svd, rank, weights) with { Iterations = iterations, RobustScale = scale };
    }

    /// <summary>Fits so that the worst residual is as small as can be. One bad reading rules it, so it is for looking at, beside the others.</summary>
    /// <param name="deviations">Gap and flush deviations, in any order; their uncertainties are not used.</param>
    /// <param name="about">The point turned about; null for the mean of the places read.</param>
    /// <param name="turnScaleMm">Length by which turns are scaled, mm; null for the root mean square distance of the places from that point.</param>
    /// <param name="rankTolerance">Share of the largest singular value below which a movement is not determined.</param>
    /// <returns>Null where there is no reading, or where the exchange did not end.</returns>
    /// <exception cref="ArgumentException">As for <see cref="Fit"/>.</exception>
    public static DoorDisplacement? FitMinimax(IReadOnlyList<SeamDeviation> deviations, Point3? about = null, double? turnScaleMm = null, double rankTolerance = DefaultRankTolerance)
    {
        Problem? problem = Problem.Of([.. deviations.Select(d => d with { StandardUncertaintyMm = null })], about, turnScaleMm, rankTolerance);
        if (problem is null || MinimaxFit.Solve(problem.Rows, problem.Target, rankTolerance) is not MinimaxFit fit) return null;
        double[] weights = [.. Enumerable.Repeat(1.0, deviations.Count)];
        ThinSvd svd = ThinSvd.Of(problem.Rows);
        DoorDisplacement found = Describe(problem, DisplacementMethod.Minimax, [.. fit.Solution], svd, svd.Rank(rankTolerance), weights);
        return found with { Iterations = fit.Exchanges, Active = [.. fit.Active.Select(a => (found.Residuals[a.Row], a.Sign))] };
    }

    private static double MedianScale(double[] residuals, int rank)
    {
        double[] sizes = [.. residuals.Select(Math.Abs).Order()];
        double[] kept = sizes[Math.Max(0, rank - 1)..];
        int middle = kept.Length / 2;
        return (kept.Length % 2 == 1 ? kept[middle] : (kept[middle - 1] + kept[middle]) / 2) / 0.6745;
    }

    private static DoorDisplacement Describe(Problem problem, DisplacementMethod method, double[] scaledSolution, ThinSvd svd, int rank, double[] weights)
    {
        int n = problem.Deviations.Count, freedom = n - rank;
        double L = problem.TurnScaleMm;
        double[] x = [.. scaledSolution.Select((v, i) => i < 3 ? v : v / L)];
        SmallDisplacement displacement = new(new(x[0], x[1], x[2]), new(x[3], x[4], x[5]), problem.About);
        DisplacementResidual[] residuals = [.. problem.Deviations.Select((d, i) =>
        {
            double explained = d.Explained(displacement);
            return new DisplacementResidual(d, explained, d.DeviationMm - explained, weights[i]);
        })];
        double[] weighted = problem.WeightedResiduals(scaledSolution);
        double chiSquare = weighted.Sum(r => r * r);

        bool byScatter = freedom >= LeastFreedomForScatter || (!problem.UncertaintiesAreKnown && freedom > 0);
        double? factor = method == DisplacementMethod.Minimax ? null
            : byScatter ? StudentDistribution.Quantile(0.975, freedom)
            : problem.UncertaintiesAreKnown ? NormalDistribution.Quantile(0.975)
            : null;
        // Least squares: s² = chi²/(n - p). M-estimate: s² n²/(n - p) * sum(psi²) / (sum psi')², with its unweighted normal matrix (Huber 1981, eq. 7.6.5).
        double variance = byScatter ? chiSquare / freedom : 1;
        if (method == DisplacementMethod.Robust)
        {
            svd = problem.Solve([.. Enumerable.Repeat(1.0, n)]).Svd;
            variance = byScatter ? Problem.RobustVariance(weighted, weights, freedom) : 1;
        }

        double[,] covariance = new double[6, 6];
        for (int i = 0; i < 6; i++)
        {
            for (int j = 0; j < 6; j++)
            {
                double sum = 0;
                for (int k = 0; k < rank; k++) sum += svd.Right(k)[i] * svd.Right(k)[j] / (svd.Values[k] * svd.Values[k]);
                covariance[i, j] = variance * sum / (i < 3 ? 1 : L) / (j < 3 ? 1 : L);
            }
        }

        Movement[] movements = [.. Enumerable.Range(0, 6).Select(i =>
        {
            // A movement is fixed when the directions left open hold nothing of it; the vectors are good to rounding, 1e-3 is far above that.
            double open = 0;
            for (int k = rank; k < 6; k++) open += svd.Right(k)[i] * svd.Right(k)[i];
            double? value = Math.Sqrt(open) < 1e-3 ? x[i] : null, u = factor is null || value is null ? null : Math.Sqrt(covariance[i, i]);
            return new Movement("xyz"[i % 3], i >= 3, value, u, value - factor * u, value + factor * u);
        })];

        double? noise = null, chance = null, reduced = null;
        if (method == DisplacementMethod.LeastSquares && problem.UncertaintiesAreKnown && freedom > 0)
        {
            double sum = 0;
            for (int i = 0; i < n; i++)
            {
                double leverage = 0;
                for (int k = 0; k < rank; k++) leverage += svd.Left(k)[i] * svd.Left(k)[i];
                double u = problem.Deviations[i].StandardUncertaintyMm!.Value;
                sum += u * u * (1 - leverage);
            }
            noise = Math.Sqrt(sum / n);
            reduced = chiSquare / freedom;
            chance = ChiSquareDistribution.UpperTail(chiSquare, freedom);
        }
        DoorDisplacement result = new()
        {
            Method = method,
            Displacement = displacement,
            Movements = movements,
            Rank = rank,
            Condition = svd.Condition,
            TurnScaleMm = L,
            DegreesOfFreedom = freedom,
            ReducedChiSquare = reduced,
            IsScaledByScatter = byScatter,
            CoverageFactor95 = factor,
            Residuals = residuals,
            RmsBeforeMm = Math.Sqrt(residuals.Sum(r => r.Deviation.DeviationMm * r.Deviation.DeviationMm) / n),
            RmsAfterMm = Math.Sqrt(residuals.Sum(r => r.ResidualMm * r.ResidualMm) / n),
            MaxBeforeMm = residuals.Max(r => Math.Abs(r.Deviation.DeviationMm)),
            MaxAfterMm = residuals.Max(r => Math.Abs(r.ResidualMm)),
            NoiseMm = noise,
            ChanceOfNoiseAlone = chance,
        };
        Array.Copy(covariance, result._covariance, covariance.Length);
        return result;
    }

    private static double[] Row(Vector3 direction, Vector3 place, double turnScaleMm)
    {
        // d·(w × p) = w·(p × d)
        Vector3 turn = place.Cross(direction) / turnScaleMm;
        return [direction.X, direction.Y, direction.Z, turn.X, turn.Y, turn.Z];
    }

    /// <summary>The weighted equations: one row a reading, six columns, turns scaled.</summary>
    private sealed class Problem
    {
        private Problem(IReadOnlyList<SeamDeviation> deviations, Point3 about, double turnScaleMm, double rankTolerance)
        {
            (Deviations, About, TurnScaleMm, _rankTolerance) = (deviations, about, turnScaleMm, rankTolerance);
            UncertaintiesAreKnown = deviations.All(d => d.StandardUncertaintyMm is not null);
            // One reading of unknown uncertainty makes the ratio of weights unknown: then all count alike.
            Rows = new double[deviations.Count, 6];
            Target = new double[deviations.Count];
            for (int i = 0; i < deviations.Count; i++)
            {
                SeamDeviation d = deviations[i];
                double w = UncertaintiesAreKnown ? 1 / d.StandardUncertaintyMm!.Value : 1;
                double[] row = Row(d.Direction, d.Position - about, turnScaleMm);
                for (int j = 0; j < 6; j++) Rows[i, j] = w * row[j];
                Target[i] = w * d.DeviationMm;
            }
        }

        private readonly double _rankTolerance;

        public IReadOnlyList<SeamDeviation> Deviations { get; }

        public Point3 About { get; }

        public double TurnScaleMm { get; }

        public bool UncertaintiesAreKnown { get; }

        public double[,] Rows { get; }

        public double[] Target { get; }

        public static Problem? Of(IReadOnlyList<SeamDeviation> deviations, Point3? about, double? turnScaleMm, double rankTolerance)
        {
            if (turnScaleMm is <= 0 or double.NaN) throw new ArgumentException(Invariant($"The length that scales turns must be positive, not {turnScaleMm} mm."), nameof(turnScaleMm));
            if (!(rankTolerance > 0 && rankTolerance < 1)) throw new ArgumentException(Invariant($"The rank tolerance must lie between 0 and 1, not {rankTolerance}."), nameof(rankTolerance));
            foreach (SeamDeviation d in deviations)
            {
                if (!double.IsFinite(d.DeviationMm) || !d.Position.IsFinite || !d.Direction.IsFinite)
                    throw new ArgumentException($"The deviation at station {d.Station} is not finite.", nameof(deviations));
                if (d.StandardUncertaintyMm is double u && !(u > 0 && double.IsFinite(u)))
                    throw new ArgumentException(Invariant($"The standard uncertainty at station {d.Station} must be positive, not {u} mm; give null where it is not known."), nameof(deviations));
            }
            if (deviations.Count == 0) return null;
            Point3 centre = about ?? Point3.Mean([.. deviations.Select(d => d.Position)]);
            double size = Math.Sqrt(deviations.Sum(d => Math.Pow(d.Position.DistanceTo(centre), 2)) / deviations.Count);
            return new Problem(deviations, centre, turnScaleMm ?? (size > 0 ? size : 1), rankTolerance);
        }

        public (double[] Solution, ThinSvd Svd, int Rank) Solve(double[] weights)
        {
            double[,] rows = (double[,])Rows.Clone();
            double[] target = (double[])Target.Clone();
            for (int i = 0; i < target.Length; i++)
            {
                double w = Math.Sqrt(weights[i]);
                for (int j = 0; j < 6; j++) rows[i, j] *= w;
                target[i] *= w;
            }
            ThinSvd svd = ThinSvd.Of(rows);
            int rank = svd.Rank(_rankTolerance);
            return (svd.Solve(target, rank), svd, rank);
        }

        // A step of reweighting: in the orthonormal columns of the unweighted rows the normal equations are harmless, and take a tenth of the time.
        public double[] Solve(double[] weights, ThinSvd unweighted, int rank)
        {
            int n = Target.Length;
            double[,] normal = new double[rank, rank];
            double[] right = new double[rank];
            for (int j = 0; j < rank; j++)
            {
                ReadOnlySpan<double> one = unweighted.Left(j);
                for (int i = 0; i < n; i++) right[j] += weights[i] * one[i] * Target[i];
                for (int k = 0; k <= j; k++)
                {
                    ReadOnlySpan<double> other = unweighted.Left(k);
                    double sum = 0;
                    for (int i = 0; i < n; i++) sum += weights[i] * one[i] * other[i];
                    normal[j, k] = normal[k, j] = sum;
                }
            }
            double[] along = new SmallSystem(rank, (i, j) => normal[i, j]).Solve(i => right[i]);
            double[] solution = new double[6];
            for (int k = 0; k < rank; k++)
                for (int j = 0; j < 6; j++) solution[j] += along[k] / unweighted.Values[k] * unweighted.Right(k)[j];
            return solution;
        }

        public double[] WeightedResiduals(double[] solution)
        {
            double[] residuals = new double[Target.Length];
            for (int i = 0; i < residuals.Length; i++)
            {
                residuals[i] = Target[i];
                for (int j = 0; j < 6; j++) residuals[i] -= Rows[i, j] * solution[j];
            }
            return residuals;
        }

        // psi = w r. For the biweight psi' = (1 - v)(1 - 5v) with v = (r/cs)² and w = (1 - v)².
        public static double RobustVariance(double[] residuals, double[] weights, int freedom)
        {
            int n = residuals.Length;
            double psi2 = 0, slope = 0;
            for (int i = 0; i < n; i++)
            {
                psi2 += Math.Pow(weights[i] * residuals[i], 2);
                double root = Math.Sqrt(weights[i]);
                slope += root * (1 - 5 * (1 - root));
            }
            slope /= n;
            return slope > 0 ? psi2 / freedom / (slope * slope) : double.PositiveInfinity;
        }
    }
}
