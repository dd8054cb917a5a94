namespace GapFlush.Inputs;

/// <summary>One thing in an input file that keeps it from being used.</summary>
/// <param name="Source">The file, as the user named it.</param>
/// <param name="Line">Line in the file, from 1; 0 where the whole file is meant.</param>
/// <param name="Column">Column name or JSON path; blank where the whole line or file is meant.</param>
/// <param name="Found">What stands there.</param>
/// <param name="Expected">What was expected, as a noun phrase.</param>
/// <param name="Remedy">How to mend it, as a sentence.</param>
public sealed record InputProblem(string Source, int Line, string Column, string Found, string Expected, string Remedy)
{
    /// <summary>One line, starting the way editors and terminals can jump to.</summary>
    public override string ToString()
    {
        string place = Line > 0 ? Invariant($"{Source}:{Line}") : Source;
        string column = Column.Length > 0 ? $" column {Column}:" : "";
        return $"{place}:{column} expected {Expected}, found {(Found.Length > 0 ? $"'{Shown(Found)}'" : "nothing")}. {Remedy}";
    }

    private static string Shown(string text)
    {
        string oneLine = string.Concat(text.Select(c => char.IsControl(c) ? ' ' : c));
        return oneLine.Length <= 80 ? oneLine : oneLine[..77] + "...";
    }
}
