namespace GapFlush.Seals;

/// <summary>A contiguous stretch of a door's seal below its least compression, told by stations.</summary>
/// <param name="Run">Where it starts and ends, how long it is, and its least compression.</param>
/// <param name="From">Where it starts, in words: "12 mm after 07".</param>
/// <param name="To">Where it ends, in words.</param>
/// <param name="LeastAt">The station nearest to its least compression.</param>
/// <param name="Stations">The stations in it, in order along it.</param>
/// <param name="Zones">The zones it touches, in order along it.</param>
/// <param name="ProvenMm">How much of it is below even if every reading were too low by its expanded uncertainty, mm; null where an uncertainty in it is not known.</param>
/// <param name="PossibleMm">How long the stretch would be if every reading were too high by as much, mm; null as above.</param>
/// <param name="IsPredicted">True where some of it rests on a predicted land gap.</param>
/// <param name="IsPath">True where it is longer than the plan's leak length, or the plan gives none.</param>
public sealed record LeakRun(SealRun Run, string From, string To, string LeastAt, IReadOnlyList<string> Stations, IReadOnlyList<string> Zones, double? ProvenMm, double? PossibleMm, bool IsPredicted, bool IsPath)
{
    /// <summary>The run in a line: "132 mm below its least compression, from 12 mm after 07 to 4 mm after 10 (sill), least 12.3 % at 09".</summary>
    public string Words => Invariant($"{Run.LengthMm:0} mm below its least compression, from {From} to {To} ({string.Join(", ", Zones)}), {(Run.ExtremePercent < 0 ? "no contact" : Invariant($"least {Run.ExtremePercent:0.0} %"))} at {LeastAt}")
        + (ProvenMm is double proven && PossibleMm is double possible ? Invariant($"; proven {proven:0} mm, possibly {possible:0} mm") : "; how sure is not known")
        + (IsPredicted ? "; rests on predicted land gaps" : "");
}
