using Npgsql;

namespace GapFlush.Store;

/// <summary>Where a record is: the path of an SQLite file, or a postgresql:// address.</summary>
internal sealed record RecordAddress
{
    private RecordAddress(string shown, string? path, string? connection) => (Shown, Path, Connection) = (shown, path, connection);

    /// <summary>The address in messages: never with a password.</summary>
    public string Shown { get; }

    /// <summary>Path of the SQLite file, or null.</summary>
    public string? Path { get; }

    /// <summary>Connection string of the PostgreSQL database, or null.</summary>
    public string? Connection { get; }

    /// <summary>Understands an address.</summary>
    /// <exception cref="RecordException">It cannot be understood.</exception>
    public static RecordAddress Of(string address)
    {
        if (address.Length == 0) throw new RecordException("the record's address is empty; give the path of a file, or postgresql://HOST/DATABASE.");
        int scheme = address.IndexOf("://", StringComparison.Ordinal);
        if (scheme < 0) return new(address, address, null);
        if (address[..scheme] is not ("postgresql" or "postgres"))
            throw new RecordException($"a record at '{address[..scheme]}://' is not known; give the path of a file, or postgresql://USER@HOST:PORT/DATABASE.");
        if (!Uri.TryCreate(address, UriKind.Absolute, out Uri? uri) || uri.Host.Length == 0 || uri.AbsolutePath.Trim('/').Length == 0)
            throw new RecordException("the address of the record cannot be read; it looks like postgresql://USER@HOST:PORT/DATABASE, with special letters in a password written as %XX.");
        string[] user = uri.UserInfo.Split(':', 2);
        string database = Uri.UnescapeDataString(uri.AbsolutePath.Trim('/'));
        NpgsqlConnectionStringBuilder builder = new()
        {
            Host = uri.Host.Trim('[', ']'),
            Port = uri.Port > 0 ? uri.Port : 5432,
            Database = database,
            SearchPath = PostgresSchema,
            ApplicationName = "gapflush",
            Timeout = 15,
            CommandTimeout = 0,
            Pooling = false,
        };
        if (user[0].Length > 0) builder.Username = Uri.UnescapeDataString(user[0]);
        if (user.Length > 1) builder.Password = Uri.UnescapeDataString(user[1]);
        foreach (string option in uri.Query.TrimStart('?').Split('&', StringSplitOptions.RemoveEmptyEntries)) Set(builder, option.Split('=', 2));
        return new($"postgresql://{(user[0].Length > 0 ? user[0] + "@" : "")}{uri.Authority.Split('@')[^1]}/{database}", null, builder.ConnectionString);
    }

    /// <summary>The schema in which the record's tables stand, so that it can share a database with others.</summary>
    public const string PostgresSchema = "gapflush";

    private static void Set(NpgsqlConnectionStringBuilder builder, string[] option)
    {
        string name = Uri.UnescapeDataString(option[0]), value = option.Length > 1 ? Uri.UnescapeDataString(option[1]) : "";
        string key = name switch { "sslmode" => "SSL Mode", "sslrootcert" => "Root Certificate", "connect_timeout" => "Timeout", "application_name" => "Application Name", _ => "" };
        if (key.Length == 0) throw new RecordException($"'{name}' in the address of the record is not known. Known: sslmode, sslrootcert, connect_timeout, application_name.");
        try
        {
            builder[key] = key == "SSL Mode" ? value.Replace("-", "", StringComparison.Ordinal) : value;
        }
        catch (Exception wrong) when (wrong is ArgumentException or FormatException or InvalidCastException or OverflowException)
        {
            throw new RecordException($"'{value}' is not a value for {name} in the address of the record.", wrong);
        }
    }
}
