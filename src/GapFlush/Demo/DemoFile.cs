namespace GapFlush.Demo;

/// <summary>One file of the demo.</summary>
/// <param name="Path">Path within the demo folder, with forward slashes.</param>
/// <param name="Bytes">Content.</param>
public sealed record DemoFile(string Path, byte[] Bytes);
