namespace GapFlush.Reference;

/// <summary>Which form a reference folder has; told from what is in it.</summary>
internal enum FolderForm
{
    Statistics,
    Geometry,
    Drainage,
}

/// <summary>A folder of outside check values: its cases, its data, and the quantities it expects.</summary>
internal sealed class ReferenceFolder
{
    public ReferenceFolder(string path)
    {
        Path = path;
        Form = Directory.Exists(At("expected")) ? FolderForm.Statistics
            : Directory.EnumerateFiles(path, "*_expected.csv").Any() ? FolderForm.Drainage
            : Directory.EnumerateDirectories(path).Any(d => File.Exists(System.IO.Path.Combine(d, "expected.csv"))) ? FolderForm.Geometry
            : throw new DirectoryNotFoundException($"{path} has neither expected/, nor *_expected.csv, nor sub-folders with an expected.csv.");
    }

    public string Path { get; }

    public FolderForm Form { get; }

    public string At(params string[] parts) => System.IO.Path.Combine([Path, .. parts]);

    public bool Has(params string[] parts) => File.Exists(At(parts));

    /// <summary>A file of the folder as rows of column name to text.</summary>
    public IReadOnlyList<IReadOnlyDictionary<string, string>> Rows(params string[] parts) => CsvRows.Read(At(parts));

    /// <summary>Every expected (group, case, quantity) of the folder, published figures left out.</summary>
    public IReadOnlySet<(string Group, string Case, string Quantity)> ExpectedKeys() => ExpectedRows().Select(e => e.Key).ToHashSet();

    /// <summary>Every expected quantity with its whole row, published figures and rows that are information only left out.</summary>
    public IEnumerable<((string Group, string Case, string Quantity) Key, IReadOnlyDictionary<string, string> Row)> ExpectedRows()
    {
        foreach ((string group, string file) in ExpectedFiles())
        {
            foreach (IReadOnlyDictionary<string, string> row in CsvRows.Read(file))
            {
                if (row.GetValueOrDefault("type") == "information" || row["quantity"].StartsWith("published.", StringComparison.Ordinal)) continue;
                yield return ((group, row["case"], row["quantity"]), row);
            }
        }
    }

    private IEnumerable<(string Group, string File)> ExpectedFiles() => Form switch
    {
        FolderForm.Statistics => Directory.EnumerateFiles(At("expected"), "*.csv").Select(f => (System.IO.Path.GetFileNameWithoutExtension(f), f)).Where(f => f.Item1 != "published"),
        FolderForm.Geometry => Directory.EnumerateFiles(Path, "*expected.csv", SearchOption.AllDirectories).Select(f => (System.IO.Path.GetFileName(System.IO.Path.GetDirectoryName(f)!), f)),
        _ => Directory.EnumerateFiles(Path, "*_expected.csv").Select(f => (System.IO.Path.GetFileName(f)[..^"_expected.csv".Length], f))
            .Concat(Directory.EnumerateFiles(Path, "expected.csv", SearchOption.AllDirectories).Select(f => (System.IO.Path.GetFileName(System.IO.Path.GetDirectoryName(f)!), f))),
    };
}
