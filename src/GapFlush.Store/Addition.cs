using GapFlush.Measurements;

namespace GapFlush.Store;

/// <summary>A reading whose key the record already holds.</summary>
/// <param name="New">The reading that was to be added.</param>
/// <param name="Old">The entry that stands: in the record, or further up in the same file.</param>
/// <param name="OldSource">The file of the old entry.</param>
public sealed record KeyTaken(Reading New, Entry Old, string OldSource);

/// <summary>What came of adding a file.</summary>
/// <param name="File">The file as it stands in the record; null where nothing was added.</param>
/// <param name="Known">The file that the record already held, byte for byte the same; null otherwise.</param>
/// <param name="Taken">Readings whose key the record already holds; where there are any and nobody said what to do, nothing was added.</param>
/// <param name="Corrected">Entries that stand in for others.</param>
/// <param name="Repeated">Entries that were given a further repeat number.</param>
/// <param name="LeftOut">Readings left out because the record holds them word for word.</param>
public sealed record Addition(RecordedFile? File, RecordedFile? Known, IReadOnlyList<KeyTaken> Taken, int Corrected, int Repeated, int LeftOut);
