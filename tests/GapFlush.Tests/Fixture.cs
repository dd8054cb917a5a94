namespace GapFlush.Tests;

/// <summary>Finds the project's folders from wherever the tests run.</summary>
internal static class Fixture
{
    /// <summary>The folder that holds GapFlush.sln.</summary>
    public static string Root { get; } = FindRoot();

    /// <summary>The path of something under fixtures/.</summary>
    public static string At(params string[] parts) => Path.Combine([Root, "fixtures", .. parts]);

    private static string FindRoot()
    {
        for (DirectoryInfo? at = new(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (File.Exists(Path.Combine(at.FullName, "GapFlush.sln"))) return at.FullName;
        }
        throw new DirectoryNotFoundException("GapFlush.sln is in no folder above the tests.");
    }
}
