using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Registration;

namespace GapFlush.Sections;

/// <summary>Where a scan lies by its seam alone, or why that cannot be said: the wrong door, the other hand, two ways round, too little of it.</summary>
internal static class ScanPlacing
{
    // Common practice, no source: with less than 60 % of the seam agreeing, another shape was scanned.
    private const double LeastLocked = 0.6;

    // The door's own seam shows once to twice over, as its places lie; what shows beyond that is other seams, or no seams at all.
    private const double MostSeam = 2.5;

    /// <summary>Looks for the pose, and doubts it.</summary>
    public static (CoarseAlignment.Pose? Pose, InputProblem? Problem) Find(FitPlan plan, Door door, string scan, ScanSample sample, double gap)
    {
        if (SeamImage.Of(sample, gap) is not SeamImage image)
            return Refuse("a scan that covers too much, or too little, to look for a seam in it", "a scan of the door and its surround", "Cut the scan down to the door and its surround, or register with --targets.");
        if (image.Seams.Length < CoarseAlignment.Least)
            return Refuse(Invariant($"a scan in which no seam {gap:0.#} mm wide shows, of {sample.Count} points looked at"), "skin on both sides of the seam, its points no farther apart than a third of the gap",
                "Scan the seam all round and more closely, with some centimetres of skin on either side, check the unit, or register with --targets.");
        CoarseAlignment.Pose? best = CoarseAlignment.Find(image, door, mirrored: false, out CoarseAlignment.Pose? second);
        double locked = best?.Locked ?? 0;
        double shown = image.Seams.Length * SeamImage.JoinMm, length = door.Stations.Select((s, i) => s.Position.DistanceTo(door.Stations[(i + 1) % door.Stations.Count].Position)).Sum();
        // A pose that agrees all round and closely leaves nothing to look for elsewhere.
        if (best is null || locked < 0.9 || best.Seen < 0.9 || best.MissMm > 0.6)
        {
            foreach ((Door other, bool mirrored) in plan.Doors.Where(d => d.Code != door.Code).Select(d => (d, false)).Append((door, true)).Concat(plan.Doors.Where(d => d.Code != door.Code).Select(d => (d, true))))
            {
                if (CoarseAlignment.Find(image, other, mirrored, out _) is not CoarseAlignment.Pose pose || pose.Locked < LeastLocked || !pose.ClearlyBetterThan(best)) continue;
                // Both doors are in the scan, and lie to one another as in the plan: the other one shows where this one is.
                if (!mirrored && CoarseAlignment.At(image, door, pose.Motion) is CoarseAlignment.Pose beside && beside.Locked >= LeastLocked && beside.Seen >= LeastLocked)
                {
                    if (best is null || beside.Locked * beside.Seen > 0.9 * best.Locked * best.Seen) (best, second, locked) = (beside, null, beside.Locked);
                    continue;
                }
                // Among seams all over the scan something agrees with a mirror image by chance.
                if (mirrored && shown > MostSeam * length) continue;
                string agrees = Invariant($"at {100 * pose.Locked:0} % of it (within {pose.MissMm:0.0} mm)"), itself = best is null ? "nowhere" : Invariant($"at {100 * locked:0} % (within {best.MissMm:0.0} mm)");
                return mirrored
                    ? Refuse($"a scan whose mirror image agrees with the seam of door {other.Code} {agrees}, and itself with door {door.Code} {itself}", $"a scan of door {door.Code} in its own hand", "It is of the other hand, or an axis of the scan has the wrong sign: check which door was scanned, and how it was exported.")
                    : Refuse($"a scan whose seam agrees with door {other.Code} {agrees}, and with door {door.Code} {itself}", $"a scan of door {door.Code}", $"Give --door {other.Code}, or the right scan.");
            }
        }
        bool tells = best is not null && locked >= LeastLocked && !IsAmbiguous(best, second);
        if (!tells && shown > MostSeam * length)
        {
            return Refuse(Invariant($"{shown / 1000:0.0} m of what looks like a seam, where door {door.Code} has {length / 1000:0.0} m"), Invariant($"no other seams, and points no farther apart than {gap / 3:0.0} mm, a third of the gap: holes between them look like seams too"),
                "Scan more closely, cut away what is not the door and its surround, or register with --targets.");
        }
        if (best is null || locked < LeastLocked)
            return Refuse(Invariant($"a scan whose seam agrees with door {door.Code} at {100 * locked:0} % of it at best"), "a scan that can be laid on the plan without targets", "Check the door and the unit, scan more of the seam, or register with --targets.");
        if (!tells)
            return Refuse("two ways of laying the scan on the plan that are as good as each other", "one way only", $"The scan does not tell which way round door {door.Code} is{Part(best)}; register with --targets.");
        return (best, null);

        static bool IsAmbiguous(CoarseAlignment.Pose best, CoarseAlignment.Pose? second) => second is not null && second.Locked * second.Seen > 0.9 * best.Locked * best.Seen && second.MissMm < 2 * best.MissMm + 0.3;

        (CoarseAlignment.Pose?, InputProblem?) Refuse(string found, string expected, string remedy) => (null, new(scan, 0, "", found, expected, remedy));
    }

    /// <summary>What to add to a message where much of the seam is missing.</summary>
    public static string Part(CoarseAlignment.Pose pose) => pose.Seen < 0.75 ? Invariant($": {100 * (1 - pose.Seen):0} % of its seam is missing from the scan") : "";
}
