using GapFlush.Plan;

namespace GapFlush.Store;

/// <summary>Which readings are wanted; what is null does not matter.</summary>
/// <param name="Build">Serial of the aircraft.</param>
/// <param name="Door">Door code.</param>
/// <param name="Station">Station name.</param>
/// <param name="Characteristic">What was read.</param>
/// <param name="InFilesOf">Serial of an aircraft: everything that came in files which hold readings of it, so that rows of other builds in them are seen too.</param>
/// <param name="Stage">Stage that was written with the reading.</param>
public sealed record ReadingFilter(string? Build = null, string? Door = null, string? Station = null, Characteristic? Characteristic = null, string? InFilesOf = null, string? Stage = null);
