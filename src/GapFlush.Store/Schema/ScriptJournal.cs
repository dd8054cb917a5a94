using System.Data;
using Dapper;
using DbUp.Engine;
using DbUp.Engine.Transactions;

namespace GapFlush.Store.Schema;

/// <summary>Keeps which scripts were applied, with the hash of each: the journal that comes with DbUp keeps names only.</summary>
internal sealed class ScriptJournal(Func<IConnectionManager> connections) : IJournal
{
    /// <summary>The table.</summary>
    public const string Table = "schema_script";

    /// <summary>The scripts applied, in the order of their names.</summary>
    public static IReadOnlyList<(string Name, string Sha256)> Read(IDbConnection connection) => [.. connection.Query<(string, string)>($"SELECT name, sha256 FROM {Table} ORDER BY name")];

    public string[] GetExecutedScripts() => connections().ExecuteCommandsWithManagedConnection(make =>
    {
        EnsureTableExistsAndIsLatestVersion(make);
        using IDbCommand command = make();
        command.CommandText = $"SELECT name FROM {Table} ORDER BY name";
        using IDataReader reader = command.ExecuteReader();
        List<string> names = [];
        while (reader.Read()) names.Add(reader.GetString(0));
        return names.ToArray();
    });

    public void StoreExecutedScript(SqlScript script, Func<IDbCommand> dbCommandFactory)
    {
        using IDbCommand command = dbCommandFactory();
        command.CommandText = $"INSERT INTO {Table} (name, sha256) VALUES (@name, @sha256)";
        Add("name", script.Name);
        Add("sha256", SchemaScript.HashOf(script.Contents));
        command.ExecuteNonQuery();

        void Add(string name, string value)
        {
            IDbDataParameter parameter = command.CreateParameter();
            (parameter.ParameterName, parameter.Value) = (name, value);
            command.Parameters.Add(parameter);
        }
    }

    public void EnsureTableExistsAndIsLatestVersion(Func<IDbCommand> dbCommandFactory)
    {
        using IDbCommand command = dbCommandFactory();
        command.CommandText = $"CREATE TABLE IF NOT EXISTS {Table} (name text PRIMARY KEY, sha256 text NOT NULL)";
        command.ExecuteNonQuery();
    }
}
