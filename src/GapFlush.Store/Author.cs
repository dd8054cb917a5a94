namespace GapFlush.Store;

/// <summary>Who enters something, when, and why where it corrects something.</summary>
/// <param name="Who">Name of the person.</param>
/// <param name="When">The time.</param>
/// <param name="Why">The reason; null where nothing is corrected.</param>
public sealed record Author(string Who, DateTimeOffset When, string? Why = null);
