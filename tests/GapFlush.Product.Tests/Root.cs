namespace GapFlush.Product.Tests;

/// <summary>Finds the project's folders from wherever the tests run.</summary>
internal static class Root
{
    /// <summary>The folder that holds GapFlush.sln.</summary>
    public static string Path { get; } = Find();

    private static string Find()
    {
        for (DirectoryInfo? at = new(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (File.Exists(System.IO.Path.Combine(at.FullName, "GapFlush.sln"))) return at.FullName;
        }
        throw new DirectoryNotFoundException("GapFlush.sln is in no folder above the tests.");
    }
}
