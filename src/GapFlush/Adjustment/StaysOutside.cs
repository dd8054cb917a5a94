using GapFlush.Decisions;

namespace GapFlush.Adjustment;

/// <summary>A value that stays outside its limits after the advised moves, and why.</summary>
/// <param name="Row">The value as it will be, judged.</param>
/// <param name="ExcessMm">How far it is beyond its limit, mm; null where its unit is no length.</param>
/// <param name="Kind">What kind of reason it is.</param>
/// <param name="Why">The reason in a sentence.</param>
public sealed record StaysOutside(ResultRow Row, double? ExcessMm, StaysOutsideKind Kind, string Why);
