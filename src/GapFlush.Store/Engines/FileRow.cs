using System.Data.Common;
using Dapper;

namespace GapFlush.Store.Engines;

/// <summary>A row of table file, as both engines write and read it.</summary>
internal sealed class FileRow
{
    private const string Columns = "number, name, sha256, entries, added_by AS AddedBy, added_at AS AddedAt, why, hash";

    public long Number { get; set; }

    public string Name { get; set; } = "";

    public string? Sha256 { get; set; }

    public long Entries { get; set; }

    public string AddedBy { get; set; } = "";

    public string AddedAt { get; set; } = "";

    public string? Why { get; set; }

    public byte[] Hash { get; set; } = [];

    /// <summary>Files, in the order in which they were added.</summary>
    public static IReadOnlyList<RecordedFile> All(DbConnection connection, DbTransaction transaction, string where = "", object? parameters = null) =>
        [.. connection.Query<FileRow>($"SELECT {Columns} FROM file {where} ORDER BY number", parameters, transaction).Select(r => r.File)];

    /// <summary>Adds a file's row.</summary>
    public static void Insert(DbConnection connection, DbTransaction transaction, RecordedFile file) => connection.Execute(
        "INSERT INTO file (number, name, sha256, entries, added_by, added_at, why, hash) VALUES (@Number, @Name, @Sha256, @Entries, @AddedBy, @AddedAt, @Why, @Hash)",
        new { file.Number, file.Name, file.Sha256, file.Entries, file.AddedBy, AddedAt = TimeText.Of(file.AddedAt), file.Why, file.Hash }, transaction);

    // A time that was altered into something else than a time must not keep the record from being verified: the chain then names the row.
    private RecordedFile File => new() { Number = Number, Name = Name, Sha256 = Sha256, Entries = Entries, AddedBy = AddedBy, AddedAt = TimeText.Read(AddedAt) ?? DateTimeOffset.MinValue, Why = Why, Hash = Hash };
}
