using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Registration;
using GapFlush.Scans;
using GapFlush.Sections;

namespace GapFlush.Workflows;

/// <summary>The floors of a plan's channels out of a scan file, registered by targets or by the seam of a door, or in the plan's axes already.</summary>
public static class ChannelScan
{
    // Half a millimetre over the half metre of a door sill is a slope of 0.1 %: a fifth of the usual least slope [common practice, no source].
    private const double LoosestMm = 0.5;

    /// <summary>Reads the scan once and finds every channel's floor.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="scan">The scan.</param>
    /// <param name="targets">Targets in the scan's own axes; null where the scan is in the plan's axes.</param>
    /// <param name="seamOf">The door that the scan shows, by whose seam it is laid on the plan; null where targets are given or the scan is in the plan's axes.</param>
    /// <param name="unitMm">Unit of scan and targets, mm; null for mm, or metres where the format fixes them.</param>
    public static Outcome<ScannedChannels> Read(FitPlan plan, InputFile scan, ScanTargets? targets = null, double? unitMm = null, Door? seamOf = null)
    {
        List<InputProblem> problems = [.. ChannelChecks.Problems(plan, "channels.csv")];
        if (problems.Count > 0) return Outcome<ScannedChannels>.Refused(problems);
        double toMm = unitMm ?? 1;
        if (unitMm is null)
        {
            // The format may fix its unit; that is known once the file was looked through.
            Outcome<ScanFacts> facts = ScanReader.Read(scan, _ => { });
            if (!facts.IsUsable) return Outcome<ScannedChannels>.Refused(facts.Problems, facts.Notices);
            if (facts.Value.IsMetre) toMm = 1000;
        }
        List<string> notices = [];
        RigidMotion motion = RigidMotion.None;
        if (targets is not null)
        {
            if (TargetRegistration.Fit([.. targets.Pairs.Select(t => (t.Datum, new Point3(toMm * t.InScan.X, toMm * t.InScan.Y, toMm * t.InScan.Z)))], out string refusal) is not ScanRegistration registration)
                return Outcome<ScannedChannels>.Refused([new(targets.Source, 0, "", "targets that do not register the scan", "targets that agree with the plan", char.ToUpperInvariant(refusal[0]) + refusal[1..] + ".")]);
            if (registration.PlaceUncertaintyMm > LoosestMm)
            {
                return Outcome<ScannedChannels>.Refused([new(targets.Source, 0, "", Invariant($"targets that hold a place to {registration.PlaceUncertaintyMm:0.00} mm only"),
                    Invariant($"targets that hold it to {LoosestMm} mm"), $"A turn of the scan is a slope of every channel; check the targets, or leave out the wrong one: {string.Join("; ", registration.Remarks)}.")]);
            }
            motion = registration.Motion;
            notices.AddRange(registration.Remarks.Select(r => $"{scan.Name}: registration: {r}."));
        }
        Outcome<ScanFacts>? read = null;
        if (targets is null && seamOf is not null)
        {
            Outcome<DoorScan> laid = ScanSectioning.Run(plan, seamOf, scan, new ScanRequest { UnitMm = toMm });
            if (!laid.IsUsable) return Outcome<ScannedChannels>.Refused(laid.Problems, laid.Notices);
            motion = laid.Value.Registration.Motion;
            notices.AddRange(laid.Notices);
        }
        ScannedChannels found = ScannedChannels.Find(scan.Name, plan.Channels, AircraftAxes.Read(plan.Axes), take => read = ScanReader.Read(scan, block =>
        {
            for (int i = 0; i + 2 < block.Length; i += 3) take(motion.Of(new Point3(toMm * block[i], toMm * block[i + 1], toMm * block[i + 2])));
        }));
        if (!read!.IsUsable) return Outcome<ScannedChannels>.Refused(read.Problems, read.Notices);
        if (found.Floors.Count == 0)
        {
            return Outcome<ScannedChannels>.Refused([new(scan.Name, 0, "", "no points on the floor of any channel", "a scan that shows a channel, in the plan's axes or with targets",
                targets is null && seamOf is null ? "Give --targets or --door to register it, or --unit where it is not in mm." : "Check the registration, and give --unit where the scan is not in mm.")], read.Notices);
        }
        return Outcome<ScannedChannels>.Of(found, [.. notices, .. read.Notices.Except(notices)]);
    }
}
