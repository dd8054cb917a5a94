namespace GapFlush.Product.Tests.Commands;

/// <summary>A folder of its own for a test, gone afterwards.</summary>
public sealed class ScratchFolder : IDisposable
{
    public ScratchFolder() => Path = Directory.CreateTempSubdirectory("gapflush-test-").FullName;

    public string Path { get; }

    public string At(params string[] parts) => System.IO.Path.Combine([Path, .. parts]);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
