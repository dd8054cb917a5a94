namespace GapFlush.Scans;

/// <summary>What was found in a scan file.</summary>
/// <param name="Format">The format, in words: <c>PLY, binary little-endian</c>.</param>
/// <param name="Points">Points handed on.</param>
/// <param name="LeftOut">Points that were marked invalid or were not numbers.</param>
/// <param name="IsMetre">True where the format itself fixes the metre as its unit (E57).</param>
/// <param name="RepeatsPoints">True where points shared by triangles come once for each (STL).</param>
/// <param name="Notices">What was found by looking, for the user to know.</param>
public sealed record ScanFacts(string Format, long Points, long LeftOut, bool IsMetre, bool RepeatsPoints, IReadOnlyList<string> Notices);
