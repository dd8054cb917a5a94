namespace GapFlush.Scans;

/// <summary>A file of probed points.</summary>
/// <param name="Source">The file, as the user named it.</param>
/// <param name="Points">The touches, in file order.</param>
public sealed record ProbedLog(string Source, IReadOnlyList<ProbedPoint> Points)
{
    /// <summary>Serials in the order met.</summary>
    public IReadOnlyList<string> Builds => [.. Points.Select(p => p.Build).Distinct()];
}
