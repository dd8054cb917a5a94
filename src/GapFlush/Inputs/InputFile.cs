namespace GapFlush.Inputs;

/// <summary>A file handed in by the caller: its name as the user knows it, and a way to open it. The library opens no path itself.</summary>
/// <param name="Name">The name to use in messages.</param>
/// <param name="Open">Opens the content from its start; the reader disposes the stream.</param>
public sealed record InputFile(string Name, Func<Stream> Open)
{
    /// <summary>A file whose content is already in memory.</summary>
    public static InputFile FromText(string name, string content) => FromBytes(name, System.Text.Encoding.UTF8.GetBytes(content));

    /// <summary>A file whose content is already in memory.</summary>
    public static InputFile FromBytes(string name, byte[] content) => new(name, () => new MemoryStream(content, writable: false));
}
