namespace GapFlush.Demo;

/// <summary>A fault planted in the readings of a demo build.</summary>
/// <param name="Kind">One of <see cref="FaultKinds"/>.</param>
/// <param name="Door">Door it was planted on, or null for the whole file.</param>
/// <param name="Stations">Stations concerned, in order; empty for a whole door or file.</param>
/// <param name="What">What was done, in words.</param>
public sealed record PlantedFault(string Kind, string? Door, IReadOnlyList<string> Stations, string What);
