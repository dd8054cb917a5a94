using GapFlush.Measurements;

namespace GapFlush.Store;

/// <summary>One entry of the record: a reading, or a correction, which stands in for the entry it names.</summary>
public sealed record Entry
{
    /// <summary>Number of the entry, from 1 through all files.</summary>
    public required long Number { get; init; }

    /// <summary>Number of the file it came with.</summary>
    public required long File { get; init; }

    /// <summary>The entry that this one stands in for, or null for a first reading.</summary>
    public long? Corrects { get; init; }

    /// <summary>The reading. Of a withdrawal it is the reading withdrawn, with a value that is not a number.</summary>
    public required Reading Reading { get; init; }

    /// <summary>The link of the chain, 32 bytes.</summary>
    public byte[] Hash { get; init; } = [];

    /// <summary>The characteristic as it is stored, where this version knows none of that code; else null.</summary>
    internal string? UnknownCharacteristic { get; init; }

    /// <summary>What this version cannot read in the row, in words; null where it can read all. Only verifying goes on with such an entry.</summary>
    internal string? Unread { get; init; }

    /// <summary>True where the corrected entry is taken out and nothing stands in for it.</summary>
    public bool IsWithdrawal => double.IsNaN(Reading.Value);
}
