namespace GapFlush.Store;

/// <summary>One addition to the record: a file of readings, or a set of corrections made by hand.</summary>
public sealed record RecordedFile
{
    /// <summary>Number of the addition, from 1.</summary>
    public required long Number { get; init; }

    /// <summary>Name of the file, without its folder.</summary>
    public required string Name { get; init; }

    /// <summary>SHA-256 of the file's bytes in hexadecimal; null for corrections made by hand.</summary>
    public string? Sha256 { get; init; }

    /// <summary>Entries that came with it.</summary>
    public required long Entries { get; init; }

    /// <summary>Who added it.</summary>
    public required string AddedBy { get; init; }

    /// <summary>When it was added.</summary>
    public required DateTimeOffset AddedAt { get; init; }

    /// <summary>Why; always there where an entry corrects another.</summary>
    public string? Why { get; init; }

    /// <summary>The link of the chain, 32 bytes.</summary>
    public required byte[] Hash { get; init; }
}
