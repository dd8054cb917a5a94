using GapFlush.Revisions;

namespace GapFlush.Workflows;

/// <summary>What the toolmaker is to do at one station: undo the proven change.</summary>
/// <param name="Change">The change.</param>
/// <param name="CorrectionMm">Change of the value that undoes it, mm.</param>
/// <param name="Words">What to do, sign in words.</param>
/// <param name="PpkNow">Ppk of the later revision as it is, or null.</param>
/// <param name="PpkAfter">Ppk of the later revision with its values moved by the correction, or null.</param>
public sealed record ToolCorrection(StationChange Change, double CorrectionMm, string Words, double? PpkNow, double? PpkAfter);
