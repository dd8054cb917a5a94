namespace GapFlush.Doubts;

/// <summary>Something in the data of one build that a careful person would ask about. Nothing is corrected because of it.</summary>
/// <param name="Kind">A fixed short code: <c>wrong-hand</c>, <c>decimal-slip</c> and so on.</param>
/// <param name="Door">Door concerned, or null for the whole build or file.</param>
/// <param name="Stations">Stations concerned, in order; empty for a whole door or file.</param>
/// <param name="Seen">What was seen, as a sentence with figures.</param>
/// <param name="ToDo">What to do about it, as a sentence.</param>
/// <param name="Source">The file concerned, or null.</param>
/// <param name="Line">Its line, or 0.</param>
public sealed record Doubt(string Kind, string? Door, IReadOnlyList<string> Stations, string Seen, string ToDo, string? Source = null, int Line = 0);
