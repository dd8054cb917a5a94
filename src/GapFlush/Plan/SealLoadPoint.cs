namespace GapFlush.Plan;

/// <summary>One point of a seal's load curve.</summary>
/// <param name="Seal">Name of the seal profile.</param>
/// <param name="CompressionPercent">Compression, per cent of free height.</param>
/// <param name="LoadNPerM">Load, N per m of seal.</param>
public sealed record SealLoadPoint(string Seal, double CompressionPercent, double LoadNPerM);
