using System.Text.RegularExpressions;
using Dapper;
using GapFlush.Store.Schema;
using Npgsql;

namespace GapFlush.Store.Engines;

/// <summary>Holds what stands in a PostgreSQL database against the numbered scripts: tables, checks, keys, indexes, view, triggers and their function.</summary>
/// <remarks>The server gives every definition back in a form of its own, with brackets and casts put in. Both are brought to one form here, so that the
/// scripts stay the only place where the schema is written down.</remarks>
internal static partial class PostgresGuards
{
    private const string Found =
        """
        SELECT 'trigger' AS kind, t.tgname::text AS name, '' AS place, CASE WHEN t.tgenabled IN ('O', 'A') THEN pg_get_triggerdef(t.oid) ELSE 'switched off' END AS definition
            FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid WHERE c.relnamespace = @Schema::regnamespace AND NOT t.tgisinternal
        UNION ALL SELECT 'function', p.proname::text, '', p.prosrc FROM pg_proc p WHERE p.pronamespace = @Schema::regnamespace
        UNION ALL SELECT 'rule', r.rulename::text, '', '' FROM pg_rewrite r JOIN pg_class c ON c.oid = r.ev_class WHERE c.relnamespace = @Schema::regnamespace AND r.rulename <> '_RETURN'
        UNION ALL SELECT 'index', c.relname::text, '', CASE WHEN i.indisvalid THEN pg_get_indexdef(i.indexrelid) ELSE 'not valid' END
            FROM pg_index i JOIN pg_class c ON c.oid = i.indexrelid WHERE c.relnamespace = @Schema::regnamespace
        UNION ALL SELECT 'view', c.relname::text, '', pg_get_viewdef(c.oid) FROM pg_class c WHERE c.relnamespace = @Schema::regnamespace AND c.relkind = 'v'
        UNION ALL SELECT CASE n.contype WHEN 'c' THEN 'check' ELSE 'key' END, n.conname::text, c.relname::text, pg_get_constraintdef(n.oid)
            FROM pg_constraint n JOIN pg_class c ON c.oid = n.conrelid WHERE c.relnamespace = @Schema::regnamespace AND n.contype IN ('c', 'p', 'u')
        UNION ALL SELECT 'table', a.attname::text, c.relname::text, format_type(a.atttypid, a.atttypmod) || CASE WHEN a.attnotnull THEN ' not null' ELSE '' END
            FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid WHERE c.relnamespace = @Schema::regnamespace AND c.relkind = 'r' AND a.attnum > 0 AND NOT a.attisdropped
        """;

    /// <summary>Everything that is not as the scripts made it, in words.</summary>
    public static IReadOnlyList<string> Broken(NpgsqlConnection connection, System.Data.Common.DbTransaction transaction)
    {
        List<Part> found = [.. connection.Query<(string Kind, string Name, string Place, string Definition)>(Found, new { Schema = RecordAddress.PostgresSchema }, transaction).Select(r => new Part(r.Kind, r.Name, r.Place, Plain(r.Definition)))];
        IReadOnlyList<Part> wanted = Wanted(string.Join('\n', SchemaScript.Of("postgres").Select(s => s.Text)));
        List<string> broken = [];
        foreach (Part part in wanted)
        {
            // Keys and unnamed checks get their names from the server: they count by what they say.
            Part? here = found.FirstOrDefault(f => f.Kind == part.Kind && f.Place == part.Place && (part.Name.Length > 0 ? f.Name == part.Name : f.Definition == part.Definition));
            string what = here is null ? "is missing" : here.Definition == part.Definition ? "" : here.Definition is "switchedoff" ? "is switched off" : here.Definition is "notvalid" ? "is not valid" : "is not as GapFlush made it";
            if (what.Length > 0) broken.Add(GuardWords.Of(part.Kind, part.Kind == "table" ? $"{part.Place}, column {part.Name}," : part.Name.Length > 0 ? part.Name : $"{part.Words} of table {part.Place}", what));
        }
        HashSet<string> ours = [.. wanted.Where(p => p.Kind == "trigger").Select(p => p.Name)];
        broken.AddRange(found.Where(f => f.Kind == "rule" || f.Kind == "trigger" && !ours.Contains(f.Name)).Select(f => GuardWords.Of(f.Kind, f.Name, "is not GapFlush's")));
        return broken;
    }

    private static List<Part> Wanted(string scripts)
    {
        List<Part> wanted = [];
        foreach (Match body in FunctionPattern().Matches(scripts)) wanted.Add(new("function", body.Groups["name"].Value, "", Plain(body.Groups["body"].Value)));
        string bare = CommentPattern().Replace(FunctionPattern().Replace(scripts, ""), "");
        Dictionary<string, string> columns = [];
        foreach (string statement in bare.Split(';').Select(s => s.Trim()).Where(s => s.Length > 0))
        {
            string[] words = statement.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
            if (statement.StartsWith("CREATE TABLE ", StringComparison.Ordinal)) columns[words[2]] = OfTable(words[2], statement, wanted);
            else if (statement.StartsWith("CREATE TRIGGER ", StringComparison.Ordinal)) wanted.Add(new("trigger", words[2], "", Plain(statement)));
            else if (statement.StartsWith("CREATE INDEX ", StringComparison.Ordinal)) wanted.Add(new("index", words[2], "", Plain(statement)));
            else if (statement.StartsWith("CREATE VIEW ", StringComparison.Ordinal))
                wanted.Add(new("view", words[2], "", Plain(statement[(statement.IndexOf(" AS", StringComparison.Ordinal) + 3)..].Replace("e.*", columns["entry"], StringComparison.Ordinal))));
            else if (statement.StartsWith("ALTER TABLE ", StringComparison.Ordinal) && words[4] == "CONSTRAINT")
                wanted.Add(new("check", words[5], words[2], Plain(statement[statement.IndexOf("CHECK", StringComparison.Ordinal)..])));
            else throw new InvalidOperationException($"A script holds a statement of a kind that is not checked: {statement}");
        }
        return wanted;
    }

    // The columns of a table and what is asked of them; gives the columns back as a view names them.
    private static string OfTable(string table, string statement, List<Part> wanted)
    {
        List<string> names = [];
        foreach (string line in statement[(statement.IndexOf('(', StringComparison.Ordinal) + 1)..statement.LastIndexOf(')')].Split('\n').Select(l => l.Trim().TrimEnd(',')).Where(l => l.Length > 0))
        {
            if (line.StartsWith("CHECK", StringComparison.Ordinal))
            {
                wanted.Add(new("check", "", table, Plain(line)) { Words = line });
                continue;
            }
            string name = line[..line.IndexOf(' ', StringComparison.Ordinal)], type = line[name.Length..].Trim();
            names.Add("e." + name);
            foreach (string key in (string[])["PRIMARY KEY", "UNIQUE"])
            {
                if (!type.EndsWith(key, StringComparison.Ordinal)) continue;
                wanted.Add(new("key", "", table, Plain($"{key} ({name})")) { Words = $"{key} ({name})" });
                type = type[..^key.Length] + (key == "PRIMARY KEY" ? "NOT NULL" : "");
            }
            wanted.Add(new("table", name, table, Plain(type)));
        }
        return string.Join(", ", names);
    }

    private static string Plain(string definition) => NoisePattern().Replace(definition.ToLowerInvariant(), "");

    [GeneratedRegex(@"CREATE FUNCTION (?<name>\w+)\(\).*?\$body\$(?<body>.*?)\$body\$;", RegexOptions.Singleline)]
    private static partial Regex FunctionPattern();

    [GeneratedRegex(@"--[^\n]*")]
    private static partial Regex CommentPattern();

    [GeneratedRegex(@"[\s();]|gapflush\.|using btree|not valid|::double precision")]
    private static partial Regex NoisePattern();

    private sealed record Part(string Kind, string Name, string Place, string Definition)
    {
        public string Words { get; init; } = "";
    }
}
