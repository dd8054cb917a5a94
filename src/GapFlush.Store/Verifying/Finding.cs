namespace GapFlush.Store.Verifying;

/// <summary>One alteration of the record.</summary>
/// <param name="Kind">Which: <c>changed</c>, <c>missing</c>, <c>inserted</c>, <c>moved</c>, <c>exchanged</c>, <c>guard</c>, <c>head</c>, <c>correction</c>.</param>
/// <param name="Entry">Number of the entry, or null where a file's row or the whole record is meant.</param>
/// <param name="File">Number of the file, or null where the whole record is meant.</param>
/// <param name="Words">What was found, in words.</param>
public sealed record Finding(string Kind, long? Entry, long? File, string Words);
