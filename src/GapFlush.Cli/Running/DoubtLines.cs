using GapFlush.Doubts;

namespace GapFlush.Cli.Running;

/// <summary>Doubts as lines of text.</summary>
internal static class DoubtLines
{
    /// <summary>One doubt: kind, place, what was seen, what to do.</summary>
    public static string Of(Doubt doubt)
    {
        string place = doubt.Source is null ? "" : doubt.Line > 0 ? Invariant($" ({doubt.Source}:{doubt.Line})") : $" ({doubt.Source})";
        return $"{doubt.Kind}  {(doubt.Door is null ? "" : doubt.Door + ": ")}{doubt.Seen}{place} {doubt.ToDo}";
    }
}
