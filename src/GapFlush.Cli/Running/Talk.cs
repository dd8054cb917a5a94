using System.CommandLine;
using GapFlush.Inputs;

namespace GapFlush.Cli.Running;

/// <summary>What a command says: results on standard output, everything else on standard error unless quiet.</summary>
internal sealed class Talk(ParseResult parse)
{
    private readonly bool _quiet = parse.GetValue(CommonOptions.Quiet);

    // A line that is written over itself makes sense on a terminal only.
    private readonly ProgressLine? _progress = parse.GetValue(CommonOptions.Quiet) || Console.IsErrorRedirected || !ReferenceEquals(parse.InvocationConfiguration.Error, Console.Error) ? null
        : new(Console.Error, TimeProvider.System, Console.WindowWidth);

    /// <summary>Standard output: data only.</summary>
    public TextWriter Output { get; } = parse.InvocationConfiguration.Output;

    /// <summary>True when the user asked for JSON.</summary>
    public bool Json { get; } = parse.GetValue(CommonOptions.Json);

    /// <summary>Takes how far long work has come (what, done, of how much); null where nobody would see it.</summary>
    public Action<string, long, long>? Progress => _progress is null ? null : _progress.Tell;

    /// <summary>A file whose reading is told on a terminal.</summary>
    public InputFile Watch(InputFile file) => _progress?.Watch(file) ?? file;

    /// <summary>Wipes what was told of progress.</summary>
    public void EndProgress() => _progress?.End();

    /// <summary>Tells something on standard error, unless quiet.</summary>
    public void Say(string line)
    {
        _progress?.End();
        if (!_quiet) parse.InvocationConfiguration.Error.WriteLine(line);
    }

    /// <summary>Tells every notice of a reader.</summary>
    public void Say(IEnumerable<string> notices)
    {
        foreach (string notice in notices) Say($"notice: {notice}");
    }
}
