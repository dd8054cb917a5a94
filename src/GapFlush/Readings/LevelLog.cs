namespace GapFlush.Readings;

/// <summary>A file of channel levels.</summary>
/// <param name="Source">The file, as the user named it.</param>
/// <param name="Levels">Its levels, one for each build, channel and point, in file order.</param>
public sealed record LevelLog(string Source, IReadOnlyList<ChannelLevel> Levels)
{
    /// <summary>The builds of the file, in the order in which they are met.</summary>
    public IReadOnlyList<string> Builds => [.. Levels.Select(l => l.Build).Distinct()];

    /// <summary>The levels of one build.</summary>
    public LevelLog Of(string build) => new(Source, [.. Levels.Where(l => l.Build == build)]);
}
