using GapFlush.Plan;

namespace GapFlush.Measurements;

/// <summary>What a reading taken at one stage needs before it speaks of another: nothing, paint, or it cannot be used.</summary>
/// <remarks>METHOD.md, eq. 6 and 7: two edges take paint from a gap, the faces add to a flush what door and surround take differently, land and carrier take it from a land gap.</remarks>
/// <param name="PaintMm">What is added for paint, mm; null where nothing is.</param>
/// <param name="Words">The paint step in words; null where nothing is added.</param>
/// <param name="Refused">Why the reading cannot be used; null where it can.</param>
internal readonly record struct StageChange(double? PaintMm, string? Words, string? Refused)
{
    /// <summary>The change from the stage a reading names to the stage wanted; none where either is not said.</summary>
    public static StageChange Of(FitPlan plan, string? read, string? wanted, Characteristic characteristic)
    {
        if (wanted is null || read is null || read == wanted) return default;
        if (plan.FindStage(read) is not Stage from || plan.FindStage(wanted) is not Stage to)
            return No($"read at stage {read}, wanted {wanted}, and the plan does not say how they differ");
        List<string> differ = [];
        if (from.Seal != to.Seal) differ.Add($"seal {from.Seal ?? "not said"} against {to.Seal ?? "not said"}");
        if (from.Latch != to.Latch) differ.Add($"latch {from.Latch ?? "not said"} against {to.Latch ?? "not said"}");
        if (from.Support != to.Support) differ.Add($"support {from.Support ?? "not said"} against {to.Support ?? "not said"}");
        if (differ.Count > 0) return No($"read at stage {from.Name}, which differs from {to.Name} in more than paint ({string.Join(", ", differ)})");
        if (from.Paint == to.Paint) return default;
        if (PaintBetween(plan, from.Paint, to.Paint) is not PaintBuild paint)
            return No($"read at stage {from.Name}, and the plan has no paint allowance from {from.Paint ?? "no state"} to {to.Paint ?? "no state"}");
        double? added = characteristic == Characteristic.Gap ? -2 * paint.Edge : characteristic == Characteristic.Flush ? paint.Face : characteristic == Characteristic.LandGap ? -paint.Land : null;
        return added is double amount ? new(amount, $"paint {from.Paint} to {to.Paint}", null)
            : No($"read at stage {from.Name}, and the paint allowance does not say what paint does to a {characteristic.Words}");
    }

    private static StageChange No(string why) => new(null, null, why);

    // The allowances are steps between paint states; a way may take several, and each may be walked either way. The shortest way counts.
    private static PaintBuild? PaintBetween(FitPlan plan, string? from, string? to)
    {
        if (from is null || to is null) return null;
        Dictionary<string, PaintBuild> reached = new() { [from] = new(0, 0, 0) };
        Queue<string> open = new([from]);
        while (open.TryDequeue(out string? at))
        {
            (double edge, double face, double? land) = reached[at];
            foreach (PaintAllowance step in plan.Paint)
            {
                if (step.From == at && reached.TryAdd(step.To, new(edge + step.EdgeBuildMm, face + step.FaceBuildMm, land + step.LandBuildMm))) open.Enqueue(step.To);
                if (step.To == at && reached.TryAdd(step.From, new(edge - step.EdgeBuildMm, face - step.FaceBuildMm, land - step.LandBuildMm))) open.Enqueue(step.From);
            }
        }
        return reached.GetValueOrDefault(to);
    }

    // What paint adds on each edge, on the faces (door less surround), and on land and carrier together; the last is not known where a step does not say.
    private sealed record PaintBuild(double Edge, double Face, double? Land);
}
