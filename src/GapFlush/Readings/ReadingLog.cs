using GapFlush.Measurements;

namespace GapFlush.Readings;

/// <summary>The gauge readings of one file, each checked against the plan's names and units, in file order.</summary>
/// <param name="Source">The file, as the user named it.</param>
/// <param name="Readings">The readings; at least one.</param>
/// <param name="Sha256">SHA-256 of the file's bytes, lower-case hexadecimal: two files with the same one are the same file.</param>
/// <param name="Notices">What the user should know although nothing is wrong.</param>
public sealed record ReadingLog(string Source, IReadOnlyList<Reading> Readings, string Sha256, IReadOnlyList<string> Notices)
{
    /// <summary>The serials in the file, in the order in which they are met.</summary>
    public IReadOnlyList<string> Builds => [.. Readings.Select(r => r.Build).Distinct()];
}
