using DbUp.Builder;
using DbUp.Engine;

namespace GapFlush.Store.Schema;

/// <summary>Brings the schema of a record up to this version, or says why it cannot.</summary>
internal static class RecordSchema
{
    /// <summary>True where every script was applied as it stands here.</summary>
    /// <exception cref="RecordException">A script is not known here, or was applied in another form.</exception>
    public static bool IsUpToDate(IReadOnlyList<SchemaScript> scripts, IReadOnlyList<(string Name, string Sha256)> applied, string shown)
    {
        Dictionary<string, string> known = scripts.ToDictionary(s => s.Name, s => s.Sha256);
        if (applied.FirstOrDefault(a => !known.ContainsKey(a.Name)) is { Name: string later })
            throw new RecordException($"the record {shown} was made by a later version of GapFlush (its schema has {later}). Use that version; nothing was changed.");
        if (applied.FirstOrDefault(a => known[a.Name] != a.Sha256) is { Name: string altered })
            throw new RecordException($"the record {shown} was made with another {altered} than this version has, so its tables are not what they should be. Nothing was changed; go back to a copy or an export.");
        return applied.Count == scripts.Count;
    }

    /// <summary>Applies the scripts that are missing, all or none.</summary>
    public static void Upgrade(IReadOnlyList<SchemaScript> scripts, IReadOnlyList<(string Name, string Sha256)> applied, string shown, Func<UpgradeEngineBuilder> to)
    {
        if (IsUpToDate(scripts, applied, shown)) return;
        UpgradeEngineBuilder builder = to().WithScripts(scripts.Select(s => new SqlScript(s.Name, s.Text))).WithTransaction().WithVariablesDisabled().LogToNowhere();
        builder.Configure(c => c.Journal = new ScriptJournal(() => c.ConnectionManager));
        DatabaseUpgradeResult result = builder.Build().PerformUpgrade();
        if (!result.Successful) throw result.Error;
    }
}
