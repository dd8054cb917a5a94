using GapFlush.Decisions;
using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Seals;

namespace GapFlush.Adjustment;

/// <summary>How to move the hinges, latches and stops of a door so that it fits best, what to expect then, and what no move cures.</summary>
/// <remarks>
/// <para>Judged: whatever an inspection judges, against the same limits and by the same rule, before and after. METHOD.md says what steers and what is only reported.</para>
/// <para>Best: fewest values outside, then smallest worst excess, then largest worst margin, then fewest and smallest moves (<see cref="FitScore"/>). The excess of local shape is left out of the
/// second: moving a whole door to make a bulge look smaller cures nothing.</para>
/// <para>No advice (no moves): nothing is outside or undecided; or nothing that may be done is better by more than the readings can tell; or it would more likely harm.</para>
/// <para>Hinges and latches secure the door: they are adjusted on approved maintenance data, by licensed staff, and the door is rigged and inspected again.</para>
/// </remarks>
public sealed record DoorAdjustment
{
    /// <summary>The caution that goes with every advice.</summary>
    public const string Caution = "Hinges and latches secure the door. Adjust only on approved maintenance data, by licensed staff; then rig again, check locking and indication, and inspect again.";

    /// <summary>A stepless adjuster is advised in steps of this, mm: finer nobody sets by hand. Common practice, no source.</summary>
    public const double FinestSettingMm = 0.05;

    /// <summary>How much moves may contradict one another at an adjuster that holds a movement once more than needed, mm, where no step there is coarser than twice this.
    /// About the play of a worn-in latch; common practice, no source.</summary>
    public const double LeastBendAllowanceMm = 0.05;

    /// <summary>An advice that makes matters worse with more than this probability is not given.</summary>
    public const double MostChanceOfWorse = 0.05;

    internal DoorAdjustment()
    {
    }

    /// <summary>The door as it is.</summary>
    public required DoorResult Before { get; init; }

    /// <summary>The door as it will be after the moves: the readings carried along with the door, judged afresh.</summary>
    public required DoorResult After { get; init; }

    /// <summary>How the door is held.</summary>
    public required DoorHolding Holding { get; init; }

    /// <summary>What 1 mm at each adjuster does.</summary>
    public required IReadOnlyList<AdjusterEffect> Effects { get; init; }

    /// <summary>What to do at each adjuster, in the order of the plan; zero moves included.</summary>
    public required IReadOnlyList<AdjusterMove> Moves { get; init; }

    /// <summary>The displacement that the moves give the door.</summary>
    public required SmallDisplacement Displacement { get; init; }

    /// <summary>The score of the door as it is.</summary>
    public required FitScore ScoreBefore { get; init; }

    /// <summary>The score after the moves.</summary>
    public required FitScore ScoreAfter { get; init; }

    /// <summary>The best score with steps.</summary>
    public required FitScore ScoreBest { get; init; }

    /// <summary>The best score if every adjuster were stepless.</summary>
    public required FitScore ScoreStepless { get; init; }

    /// <summary>True where nothing better exists within ranges and steps.</summary>
    public required bool IsProvenBest { get; init; }

    /// <summary>The probabilities.</summary>
    public required AdjustmentOdds Odds { get; init; }

    /// <summary>What stays outside after the moves.</summary>
    public required IReadOnlyList<StaysOutside> StaysOutside { get; init; }

    /// <summary>What each deviation is laid to, where a scan saw both sides of the seam; null where there is none, and then nobody can tell which side carries what stays outside.</summary>
    public DeviationShares? Shares { get; init; }

    /// <summary>Which side carries a value that stays outside; null where no scan shows it.</summary>
    public CarriedBy? CauseOf(StaysOutside stays) => Shares is null ? null : CarriedBy.Of(stays, Shares);

    /// <summary>The largest misfit that the moves leave at an adjuster that fights others, mm; 0 where none fights.</summary>
    public required double MisfitMm { get; init; }

    /// <summary>Why no move is advised, or null where one is.</summary>
    public required string? WhyNoMoves { get; init; }

    /// <summary>How many judged values steer the search.</summary>
    public required int Steering { get; init; }

    /// <summary>Characteristics that are judged but do not steer, in words.</summary>
    public required IReadOnlyList<string> OnlyReported { get; init; }

    /// <summary>True where at least one move is advised.</summary>
    public bool IsAdvised => Moves.Any(m => m.MoveMm != 0);

    /// <summary>Works out the advice for a door.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="result">The door, judged; with at least one adjuster in the plan and one reading.</param>
    /// <exception cref="ArgumentException">The plan has no adjuster for this door, or none of its readings has a limit.</exception>
    public static DoorAdjustment For(FitPlan plan, DoorResult result) => new AdjustmentWork(plan, result).Advise();

    /// <summary>The door as it would be after a displacement: each reading carried along, everything derived and judged afresh.</summary>
    public static DoorResult Moved(FitPlan plan, DoorResult result, SmallDisplacement displacement)
    {
        List<Measurement> moved = [];
        foreach (ResultRow row in result.Rows)
        {
            Measurement m = row.Measurement;
            if (m.Station is null || m.Value is not double value || m.Origin == MeasurementOrigin.Predicted || result.Door.Find(m.Station) is not Station station) continue;
            SeamChange change = SeamChange.At(plan, result.Door, station, displacement);
            double by = m.Characteristic == Characteristic.Gap ? change.GapMm : m.Characteristic == Characteristic.Flush ? change.FlushMm : m.Characteristic == Characteristic.LandGap ? change.LandGapMm : double.NaN;
            if (double.IsFinite(by)) moved.Add(m with { Value = value + by });
        }
        if (DoorSeal.Of(plan, result.Door, result.Build, result.Stage, moved) is DoorSeal seal) moved.AddRange(seal.Measurements);
        return DoorResult.For(plan, result.Door, result.Build, result.Stage, moved, result.Data.Doubts);
    }
}
