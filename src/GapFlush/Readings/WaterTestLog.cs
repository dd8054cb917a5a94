namespace GapFlush.Readings;

/// <summary>A file of water tests.</summary>
/// <param name="Source">The file, as the user named it.</param>
/// <param name="Tests">Its tests, in file order.</param>
public sealed record WaterTestLog(string Source, IReadOnlyList<WaterTest> Tests);
