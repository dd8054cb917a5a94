using GapFlush.Inputs;

namespace GapFlush.Scans;

/// <summary>A scan file that cannot be read; caught by <see cref="ScanReader"/> and told as a problem.</summary>
internal sealed class ScanFormatException : Exception
{
    public ScanFormatException(string found, string expected, string remedy, int line = 0, string column = "") : base(expected) =>
        (Found, Expected, Remedy, Line, Column) = (found, expected, remedy, line, column);

    public string Found { get; }

    public string Expected { get; }

    public string Remedy { get; }

    public int Line { get; }

    public string Column { get; }

    /// <summary>The same, so many lines farther down.</summary>
    public ScanFormatException After(int lines) => new(Found, Expected, Remedy, lines + Line, Column);

    public InputProblem For(string source) => new(source, Line, Column, Found, Expected, Remedy);
}
