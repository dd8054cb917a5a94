namespace GapFlush.Seals;

/// <summary>A stretch of seal that lies below its least or above its most compression.</summary>
/// <param name="FromMm">Where it starts, developed length in [0, perimeter), mm.</param>
/// <param name="ToMm">Where it ends, in [0, perimeter), mm; less than <paramref name="FromMm"/> where the stretch runs past the start.</param>
/// <param name="LengthMm">Its length, mm.</param>
/// <param name="ExtremePercent">The least (below) or most (above) compression in it, per cent.</param>
/// <param name="ExtremeAtMm">Where that is, mm.</param>
public sealed record SealRun(double FromMm, double ToMm, double LengthMm, double ExtremePercent, double ExtremeAtMm);
