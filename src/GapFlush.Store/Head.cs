namespace GapFlush.Store;

/// <summary>Where the record ends: to be noted elsewhere, because only against a noted head can it be seen that a record was cut short or written anew.</summary>
/// <param name="Files">Files in the record.</param>
/// <param name="Entries">Entries in the record.</param>
/// <param name="Hash">The last link of the chain, in hexadecimal.</param>
public sealed record Head(long Files, long Entries, string Hash);
