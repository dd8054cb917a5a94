using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Adjustment;

/// <summary>The steps from a judged door to an advice. METHOD.md follows the same order.</summary>
internal sealed class AdjustmentWork
{
    private readonly FitPlan _plan;
    private readonly DoorResult _result;
    private readonly DoorHolding _holding;
    private readonly Tellable[] _tellable;
    private readonly AskedOfDoor _asked;
    private readonly double _slackMm;

    public AdjustmentWork(FitPlan plan, DoorResult result)
    {
        (_plan, _result) = (plan, result);
        _holding = DoorHolding.Of(plan, result.Door);
        if (_holding.Adjusters.Count == 0) throw new ArgumentException($"The plan has no adjuster for door {result.Door.Code}.", nameof(plan));
        _tellable = [.. Tellable.Of(result, _holding)];
        _asked = AskedOfDoor.Of(plan, result, _holding, [.. _holding.Adjusters.Select((a, i) => Places(a, _tellable[i]))], BendAllowanceMm());
        if (_asked.Rows.Count == 0) throw new ArgumentException($"Nothing that was read on door {result.Door.Code} has a limit.", nameof(result));
        double[] uncertainties = [.. _asked.Sources.SelectMany(s => s).Select(s => s.Measurement.Station is null ? null : s.Measurement.StandardUncertainty).OfType<double>().Order()];
        // Half the standard uncertainty of an ordinary reading: a margin that differs by less is the same margin.
        _slackMm = uncertainties.Length == 0 ? 0.02 : Math.Min(0.05, uncertainties[uncertainties.Length / 2] / 2);
    }

    public DoorAdjustment Advise()
    {
        FitProblem problem = _asked.Problem;
        double[] stay = new double[problem.Moves];
        FitScore now = problem.Score(stay);
        double[] opposite = Opposite();
        FitProblem stepless = problem.With([.. _holding.Adjusters.Select((a, i) => Stepless(a, _tellable[i]))]);
        MoveSearch free = Search(stepless, [opposite])!;
        MoveSearch? best = Search(problem, [opposite, [.. free.Moves]]);
        bool[] apart = new bool[problem.AskedValues.Length];
        if (best?.Score.Outside > 0)
        {
            double[] values = new double[problem.Quantities.Length];
            problem.At([.. best.Moves], values);
            for (int a = 0; a < apart.Length; a++) apart[a] = _asked.IsLocalShape[a] && problem.Beyond(a, values) > FitProblem.Inside;
            if (apart.Any(a => a))
            {
                problem = problem.SettingApart(a => apart[a]);
                stepless = stepless.SettingApart(a => apart[a]);
                now = problem.Score(stay);
                free = Search(stepless, [[.. free.Moves], opposite])!;
                best = Search(problem, [[.. best.Moves], opposite, [.. free.Moves]]);
            }
        }
        double[] moves = stay;
        bool proven = best?.IsProven ?? false;
        string? whyNot = best is null ? "no places of the adjusters suit one another" : null;
        if (best is not null && now.Outside == 0 && now.WorstMarginMm >= 0) whyNot = "every value that the moves can change is within its limits";
        else if (best is not null && !IsWorthwhile(best.Score, now)) whyNot = "no move within ranges and steps betters the door by more than the readings can tell";
        else if (best is not null)
        {
            (moves, bool fewest) = SmallestMoves.Of(problem, best.Moves, _slackMm);
            proven &= fewest;
        }
        bool[] letOut = Outside(problem, moves);
        AdjustmentOdds odds = OddsDraw.Of(_asked, moves, letOut);
        if (whyNot is null && odds.Worse > DoorAdjustment.MostChanceOfWorse)
        {
            whyNot = Invariant($"the best moves would leave more values outside than now with a probability of {odds.Worse:0.00}");
            moves = stay;
            letOut = Outside(problem, moves);
            odds = OddsDraw.Of(_asked, moves, letOut);
        }
        SmallDisplacement displacement = _holding.Displacement(moves);
        DoorResult after = DoorAdjustment.Moved(_plan, _result, displacement);
        return new DoorAdjustment
        {
            Before = _result,
            After = after,
            Holding = _holding,
            Effects = AdjusterEffect.Of(_plan, _holding),
            Moves = [.. _holding.Adjusters.Select((a, i) => new AdjusterMove(a, moves[i], free.Moves[i], _tellable[i].LeastMm, _tellable[i].WhyHeld))],
            Displacement = displacement,
            ScoreBefore = now,
            ScoreAfter = problem.Score(moves),
            ScoreBest = best?.Score ?? now,
            ScoreStepless = free.Score,
            IsProvenBest = proven,
            Odds = odds,
            StaysOutside = [.. WhatStays(after, problem, letOut, apart)],
            MisfitMm = _holding.Surplus == 0 ? 0 : _holding.Misfit(moves).Max(Math.Abs),
            WhyNoMoves = whyNot,
            Steering = _asked.Rows.Count,
            OnlyReported = [.. _asked.OnlyReported.Select(r => r.Measurement.Characteristic).Except(_asked.Rows.Select(r => r.Measurement.Characteristic)).Select(c => c.Words)],
        };
    }

    private static MoveSearch? Search(FitProblem problem, IEnumerable<double[]> starts) => MoveSearch.Solve(problem, starts);

    private bool IsWorthwhile(FitScore best, FitScore now) => best.Outside != now.Outside ? best.Outside < now.Outside
        : best.WorstExcessMm < now.WorstExcessMm - _slackMm || (best.WorstExcessMm <= now.WorstExcessMm + FitScore.Same && best.WorstMarginMm > now.WorstMarginMm + _slackMm);

    // Where each adjuster would go to undo the displacement that the readings show.
    private double[] Opposite() => _result.Displacement.Preferred is not DoorDisplacement fit ? new double[_holding.Adjusters.Count]
        : [.. _holding.Adjusters.Select(a => -a.Direction.Dot(fit.Displacement.At(a.Position)))];

    // Steps alone leave a misfit of half of the coarsest step among those that fight; less than that cannot be asked for.
    private double BendAllowanceMm() => _holding.Fighting.SelectMany(g => g).Select(a => (a.StepMm ?? DoorAdjustment.FinestSettingMm) / 2).Append(DoorAdjustment.LeastBendAllowanceMm).Max();

    private static FitProblem.Position Places(Adjuster adjuster, Tellable tellable)
    {
        if (adjuster.IsFixed || tellable.WhyHeld is not null) return new(0, 0, [0]);
        double step = adjuster.StepMm ?? DoorAdjustment.FinestSettingMm, least = tellable.LeastMm ?? 0;
        int from = (int)Math.Ceiling(adjuster.MinimumMm / step - 1e-9), to = (int)Math.Floor(adjuster.MaximumMm / step + 1e-9);
        bool mayStay = from <= 0 && to >= 0;
        double[] values = [.. Enumerable.Range(from, Math.Max(0, to - from + 1)).Select(i => Math.Round(i * step, 10)).Where(v => v == 0 || !mayStay || Math.Abs(v) >= least - 1e-9)];
        return new(adjuster.MinimumMm, adjuster.MaximumMm, values.Length > 0 ? values : [Math.Clamp(0, adjuster.MinimumMm, adjuster.MaximumMm)]);
    }

    private static FitProblem.Position Stepless(Adjuster adjuster, Tellable tellable) =>
        adjuster.IsFixed || tellable.WhyHeld is not null ? new(0, 0, null) : new(adjuster.MinimumMm, adjuster.MaximumMm, null);

    private static bool[] Outside(FitProblem problem, double[] moves)
    {
        double[] values = new double[problem.Quantities.Length];
        problem.At(moves, values);
        return [.. Enumerable.Range(0, problem.AskedValues.Length).Select(a => problem.Beyond(a, values) > FitProblem.Inside)];
    }

    private IEnumerable<StaysOutside> WhatStays(DoorResult after, FitProblem problem, bool[] letOut, bool[] apart)
    {
        Dictionary<(string?, string?, Characteristic), int> index = [];
        for (int a = 0; a < _asked.Rows.Count; a++) index[Key(_asked.Rows[a])] = a;
        MoveSearch? unlimited = !letOut.Any(o => o) ? null
            : Search(problem.With([.. _holding.Adjusters.Select(a => a.IsFixed ? new FitProblem.Position(0, 0, null) : new FitProblem.Position(-10, 10, null))]), [Opposite()]);
        bool[] outUnlimited = unlimited is null ? letOut : Outside(problem, [.. unlimited.Moves]);
        foreach (ResultRow row in after.Rows)
        {
            if (!(row.Excess > FitProblem.Inside)) continue;
            double? mm = row.Measurement.Characteristic.Unit == "mm" ? row.Excess : null;
            if (row.Measurement.Characteristic == Characteristic.Twist)
            {
                string latches = _holding.Fighting.Count == 0 ? "" : $" {string.Join(", ", _holding.Fighting[0].Select(a => a.Name))} can bend the door: free one and read the corners again before the door is called twisted.";
                yield return new(row, mm, StaysOutsideKind.Twist, "the corners do not lie in one plane with the opening; no movement of a stiff door changes that. Matter for door, mould or opening." + latches);
            }
            else if (!index.TryGetValue(Key(row), out int a))
            {
                yield return new(row, mm, StaysOutsideKind.OnlyReported, "it does not steer the moves");
            }
            else if (apart[a])
            {
                yield return new(row, mm, StaysOutsideKind.LocalShape, "out at this place only, its neighbours do not show it: local shape, matter for rework of the edge or for the mould. The moves do not chase it.");
            }
            else if (!outUnlimited[a])
            {
                yield return new(row, mm, StaysOutsideKind.OutOfReach, "more range, finer steps or another adjuster would cure it; those of the plan do not.");
            }
            else
            {
                yield return new(row, mm, StaysOutsideKind.Contradicts, "in any position of the door this or others are outside: the edges of door and opening do not suit one another. Matter for rework or for the mould.");
            }
        }
    }

    private static (string?, string?, Characteristic) Key(ResultRow row) => (row.Measurement.Zone, row.Measurement.Station, row.Measurement.Characteristic);

    /// <summary>What the readings can tell of a move at an adjuster.</summary>
    private sealed record Tellable(double? LeastMm, string? WhyHeld)
    {
        // Twice the standard uncertainty, as for every stated expanded uncertainty.
        private const double Coverage = 2;

        public static IEnumerable<Tellable> Of(DoorResult result, DoorHolding holding)
        {
            DisplacementFits fits = result.Displacement;
            if (fits.Preferred is not DoorDisplacement fit)
            {
                foreach (Adjuster _ in holding.Adjusters) yield return new(null, "no gap or flush was read that tells how the door hangs");
                yield break;
            }
            ThinSvd? seen = fit.Rank == 6 ? null : ThinSvd.Of(Rows(fits.Deviations, fit));
            List<DoorDisplacement> common = Common(result, fits, fit);
            for (int i = 0; i < holding.Adjusters.Count; i++)
            {
                Adjuster a = holding.Adjusters[i];
                if (a.IsFixed)
                {
                    yield return new(null, "fixed support");
                    continue;
                }
                if (seen is not null && HidesMove(seen, fit, holding, i))
                {
                    yield return new(null, "the readings do not show what this move does");
                    continue;
                }
                double variance = Math.Pow(fit.ExplainedUncertainty(a.Position, a.Direction) ?? 0, 2) + common.Sum(c => Math.Pow(a.Direction.Dot(c.Displacement.At(a.Position)), 2));
                yield return new(Coverage * Math.Sqrt(variance), null);
            }
        }

        // What an error that a gauge makes alike in all its readings does to the displacement: one fit for each gauge and characteristic.
        private static List<DoorDisplacement> Common(DoorResult result, DisplacementFits fits, DoorDisplacement fit)
        {
            Dictionary<(string, Characteristic), UncertaintyComponent> shares = [];
            foreach (ResultRow row in result.Rows)
                if (row.Measurement is { Station: string station } m && m.Budget.FirstOrDefault(OddsDraw.IsCommon) is UncertaintyComponent c) shares.TryAdd((station, m.Characteristic), c);
            List<DoorDisplacement> found = [];
            foreach (IGrouping<(string, Characteristic), KeyValuePair<(string, Characteristic), UncertaintyComponent>> gauge in shares.GroupBy(s => (s.Value.Source, s.Key.Item2)))
            {
                HashSet<(string, Characteristic)> read = [.. gauge.Select(g => g.Key)];
                double share = gauge.Max(g => g.Value.StandardUncertainty);
                SeamDeviation[] shifted = [.. fits.Deviations.Select(d => d with { DeviationMm = read.Contains((d.Station, d.Characteristic)) ? share : 0 })];
                if (shifted.Any(d => d.DeviationMm != 0) && DoorDisplacement.Fit(shifted, fit.Displacement.About, fit.TurnScaleMm) is DoorDisplacement moved) found.Add(moved);
            }
            return found;
        }

        private static double[,] Rows(IReadOnlyList<SeamDeviation> deviations, DoorDisplacement fit)
        {
            double[,] rows = new double[deviations.Count, 6];
            for (int i = 0; i < deviations.Count; i++)
            {
                Vector3 d = deviations[i].Direction, turn = (deviations[i].Position - fit.Displacement.About).Cross(d) / fit.TurnScaleMm;
                (rows[i, 0], rows[i, 1], rows[i, 2], rows[i, 3], rows[i, 4], rows[i, 5]) = (d.X, d.Y, d.Z, turn.X, turn.Y, turn.Z);
            }
            return rows;
        }

        private static bool HidesMove(ThinSvd seen, DoorDisplacement fit, DoorHolding holding, int adjuster)
        {
            double[] one = new double[holding.Adjusters.Count];
            one[adjuster] = 1;
            SmallDisplacement x = holding.Displacement(one).StatedAbout(fit.Displacement.About);
            double[] v = [x.TranslationMm.X, x.TranslationMm.Y, x.TranslationMm.Z, x.RotationRad.X * fit.TurnScaleMm, x.RotationRad.Y * fit.TurnScaleMm, x.RotationRad.Z * fit.TurnScaleMm];
            double hidden = 0, whole = v.Sum(c => c * c);
            for (int r = fit.Rank; r < 6; r++) hidden += Math.Pow(Enumerable.Range(0, 6).Sum(i => seen.Right(r)[i] * v[i]), 2);
            return hidden > 1e-4 * whole;
        }
    }
}
