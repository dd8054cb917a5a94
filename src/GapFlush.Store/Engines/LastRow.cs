using System.Data.Common;
using Dapper;

namespace GapFlush.Store.Engines;

/// <summary>Where the record ends: counts and the last link.</summary>
internal sealed record LastRow(long Files, long Entries, byte[] Hash)
{
    /// <summary>Reads the end of the record.</summary>
    public static LastRow Of(DbConnection connection, DbTransaction transaction)
    {
        (long files, byte[]? fileHash) = connection.QueryFirstOrDefault<(long, byte[]?)>("SELECT number, hash FROM file ORDER BY number DESC LIMIT 1", transaction: transaction);
        (long entries, byte[]? hash) = connection.QueryFirstOrDefault<(long, byte[]?)>("SELECT number, hash FROM entry ORDER BY number DESC LIMIT 1", transaction: transaction);
        return new(files, entries, hash ?? fileHash ?? Chain.Start);
    }
}
