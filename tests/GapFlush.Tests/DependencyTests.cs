using System.Text.RegularExpressions;

namespace GapFlush.Tests;

/// <summary>Which folder of the library may use which. A new arrow is a line in this table, read by whoever reads the change.</summary>
public partial class DependencyTests
{
    // In the order of the house: a folder uses only folders above it.
    private static readonly (string Folder, string[] Uses)[] Allowed =
    [
        ("Numerics", []),
        ("Statistics", ["Numerics"]),
        ("Geometry", ["Numerics"]),
        ("Inputs", []),
        ("Plan", ["Geometry", "Inputs"]),
        ("Measurements", ["Numerics", "Geometry", "Plan"]),
        ("Readings", ["Geometry", "Inputs", "Plan", "Measurements"]),
        ("Scans", ["Numerics", "Geometry", "Inputs", "Plan"]),
        ("Registration", ["Numerics", "Geometry", "Plan", "Scans"]),
        ("Sections", ["Numerics", "Geometry", "Inputs", "Plan", "Measurements", "Scans", "Registration"]),
        ("Airflow", []),
        ("Hanging", ["Numerics", "Geometry", "Plan", "Measurements"]),
        ("Doubts", ["Numerics", "Geometry", "Inputs", "Plan", "Measurements", "Readings", "Hanging"]),
        ("Decisions", ["Numerics", "Geometry", "Inputs", "Plan", "Measurements", "Hanging", "Doubts"]),
        ("Seals", ["Numerics", "Geometry", "Plan", "Measurements", "Hanging", "Decisions"]),
        ("Drainage", ["Numerics", "Geometry", "Inputs", "Plan", "Measurements", "Readings", "Decisions", "Seals"]),
        ("Adjustment", ["Numerics", "Geometry", "Plan", "Measurements", "Hanging", "Decisions", "Seals"]),
        ("Capability", ["Numerics", "Statistics", "Plan", "Measurements", "Decisions"]),
        ("Revisions", ["Numerics", "Statistics", "Geometry", "Plan", "Measurements", "Decisions", "Hanging", "Capability"]),
        ("GaugeStudy", ["Numerics", "Statistics", "Plan", "Measurements", "Capability"]),
        ("Demo", ["Numerics", "Geometry", "Inputs", "Plan", "Measurements", "Doubts"]),
        ("Workflows", ["Numerics", "Statistics", "Geometry", "Inputs", "Plan", "Measurements", "Readings", "Scans", "Registration", "Sections", "Hanging", "Doubts", "Decisions", "Seals", "Drainage", "Adjustment", "Capability", "Revisions", "GaugeStudy", "Demo"]),
    ];

    [Fact]
    public void Folders_of_the_library_use_only_what_the_table_allows()
    {
        string library = Path.Combine(Fixture.Root, "src", "GapFlush");
        HashSet<string> folders = [.. Allowed.Select(a => a.Folder)];
        List<string> wrong = [];
        int seen = 0;
        foreach (string file in Directory.EnumerateFiles(library, "*.cs", SearchOption.AllDirectories))
        {
            string[] parts = Path.GetRelativePath(library, file).Split(Path.DirectorySeparatorChar);
            if (parts[0] is "bin" or "obj") continue;
            if (parts.Length < 2 || !folders.Contains(parts[0]))
            {
                wrong.Add($"{file}: its folder is not in the table");
                continue;
            }
            string[] allowed = Allowed.First(a => a.Folder == parts[0]).Uses;
            string text = CommentsAndStrings().Replace(File.ReadAllText(file), "");
            foreach (Match match in UseOfFolder().Matches(text))
            {
                string used = match.Groups["folder"].Value;
                seen++;
                if (folders.Contains(used) && used != parts[0] && !allowed.Contains(used)) wrong.Add($"{Path.GetRelativePath(Fixture.Root, file)} uses {used}");
            }
        }
        Assert.True(seen > 0, "no use of any folder was found, so the search itself is broken");
        Assert.Empty(wrong.Distinct());
    }

    [Fact]
    public void The_table_itself_points_only_upwards()
    {
        for (int i = 0; i < Allowed.Length; i++)
            Assert.All(Allowed[i].Uses, used => Assert.Contains(used, Allowed.Take(i).Select(a => a.Folder)));
    }

    [Theory]
    [InlineData("GapFlush", new string[0])]
    [InlineData("GapFlush.Reports", new[] { "GapFlush" })]
    [InlineData("GapFlush.Store", new[] { "GapFlush" })]
    [InlineData("GapFlush.Web", new[] { "GapFlush", "GapFlush.Reports", "GapFlush.Store" })]
    [InlineData("GapFlush.Cli", new[] { "GapFlush", "GapFlush.Reports", "GapFlush.Store", "GapFlush.Web" })]
    public void Assemblies_reference_only_those_below(string project, string[] references)
    {
        string text = File.ReadAllText(Path.Combine(Fixture.Root, "src", project, project + ".csproj"));
        Assert.Equal(references, ProjectReference().Matches(text).Select(m => m.Groups["name"].Value));
    }

    [GeneratedRegex(@"GapFlush\.(?<folder>[A-Z]\w+)")]
    private static partial Regex UseOfFolder();

    [GeneratedRegex("""//[^\n]*|"(?:[^"\\\n]|\\.)*"|^namespace[^\n]*""", RegexOptions.Multiline)]
    private static partial Regex CommentsAndStrings();

    [GeneratedRegex("""<ProjectReference Include="\.\./[^"]*/(?<name>[\w.]+)\.csproj""")]
    private static partial Regex ProjectReference();
}
