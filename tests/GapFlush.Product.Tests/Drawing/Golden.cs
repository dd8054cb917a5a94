using GapFlush.Tests;

namespace GapFlush.Product.Tests.Drawing;

/// <summary>Holds a made text or picture to the accepted one beside the tests. Run with GAPFLUSH_ACCEPT=1 in the environment, a changed one is
/// accepted; without, the test fails and the made one is left next to the accepted one as NAME.made.EXT, to be looked at.</summary>
internal static class Golden
{
    private static readonly string Folder = Path.Combine(Fixture.Root, "tests", "GapFlush.Product.Tests", "Golden");

    public static void Holds(string name, string made)
    {
        string accepted = Path.Combine(Folder, name), beside = Beside(accepted);
        if (Accepting) File.WriteAllText(accepted, made);
        string before = File.Exists(accepted) ? File.ReadAllText(accepted).ReplaceLineEndings("\n") : "";
        if (before == made)
        {
            File.Delete(beside);
            return;
        }
        File.WriteAllText(beside, made);
        string[] was = before.Split('\n'), now = made.Split('\n');
        int line = 0;
        while (line < was.Length && line < now.Length && was[line] == now[line]) line++;
        Assert.Fail($"{name} differs from the accepted one from line {line + 1}:\n was: {At(was, line)}\n now: {At(now, line)}\nLook at {beside}; to accept: GAPFLUSH_ACCEPT=1 tests/run");
    }

    private static bool Accepting
    {
        get
        {
            bool accepting = Environment.GetEnvironmentVariable("GAPFLUSH_ACCEPT") == "1";
            if (accepting) Directory.CreateDirectory(Folder);
            return accepting;
        }
    }

    private static string At(string[] lines, int line) => line < lines.Length ? lines[line] : "(end)";

    private static string Beside(string accepted) => Path.ChangeExtension(accepted, ".made" + Path.GetExtension(accepted));
}
