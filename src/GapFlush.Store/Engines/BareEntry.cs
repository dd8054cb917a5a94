using GapFlush.Measurements;

namespace GapFlush.Store.Engines;

/// <summary>As much of an entry as a study of values needs.</summary>
/// <param name="Number">Number of the entry.</param>
/// <param name="Reading">The reading; of a withdrawal its value is not a number.</param>
/// <param name="Unread">What this version cannot read of it, in words, or null.</param>
internal readonly record struct BareEntry(long Number, BareReading Reading, string? Unread);
