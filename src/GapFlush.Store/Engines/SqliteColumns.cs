using System.Runtime.InteropServices;
using SQLitePCL;

namespace GapFlush.Store.Engines;

/// <summary>The columns of the row at which a statement stands, straight from SQLite.</summary>
/// <remarks>Thirty calls a row: through the handle of SQLitePCL, which counts its users at every call, they take half as long again as all the rest of reading. These functions only look at
/// what is in memory, so the collector of garbage may wait for them.</remarks>
/// <param name="statement">The statement; it must outlive this.</param>
internal readonly unsafe partial struct SqliteColumns(sqlite3_stmt statement)
{
    private const string Library = "e_sqlite3";
    private const int Null = 5;

    private readonly nint _statement = statement.DangerousGetHandle();

    /// <summary>True where nothing is stored.</summary>
    public bool IsNull(int column) => TypeOf(_statement, column) == Null;

    /// <summary>A whole number; 0 where there is none.</summary>
    public long Whole(int column) => WholeOf(_statement, column);

    /// <summary>A number; 0 where there is none.</summary>
    public double Number(int column) => NumberOf(_statement, column);

    /// <summary>The bytes of a text or blob, until the next step; empty where there is none.</summary>
    public ReadOnlySpan<byte> Bytes(int column)
    {
        byte* first = BytesOf(_statement, column);
        return first is null ? default : new(first, LengthOf(_statement, column));
    }

    [LibraryImport(Library, EntryPoint = "sqlite3_column_type"), SuppressGCTransition]
    private static partial int TypeOf(nint statement, int column);

    [LibraryImport(Library, EntryPoint = "sqlite3_column_int64"), SuppressGCTransition]
    private static partial long WholeOf(nint statement, int column);

    [LibraryImport(Library, EntryPoint = "sqlite3_column_double"), SuppressGCTransition]
    private static partial double NumberOf(nint statement, int column);

    [LibraryImport(Library, EntryPoint = "sqlite3_column_blob"), SuppressGCTransition]
    private static partial byte* BytesOf(nint statement, int column);

    [LibraryImport(Library, EntryPoint = "sqlite3_column_bytes"), SuppressGCTransition]
    private static partial int LengthOf(nint statement, int column);
}
