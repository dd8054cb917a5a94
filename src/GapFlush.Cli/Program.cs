namespace GapFlush.Cli;

/// <summary>The gapflush command.</summary>
public static class Program
{
    /// <summary>Runs the command.</summary>
    public static int Main(string[] args) => args.Length;
}
