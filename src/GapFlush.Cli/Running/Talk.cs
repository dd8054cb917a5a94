using System.CommandLine;

namespace GapFlush.Cli.Running;

/// <summary>What a command says: results on standard output, everything else on standard error unless quiet.</summary>
internal sealed class Talk(ParseResult parse)
{
    private readonly bool _quiet = parse.GetValue(CommonOptions.Quiet);

    /// <summary>Standard output: data only.</summary>
    public TextWriter Output { get; } = parse.InvocationConfiguration.Output;

    /// <summary>True when the user asked for JSON.</summary>
    public bool Json { get; } = parse.GetValue(CommonOptions.Json);

    /// <summary>Tells something on standard error, unless quiet.</summary>
    public void Say(string line)
    {
        if (!_quiet) parse.InvocationConfiguration.Error.WriteLine(line);
    }

    /// <summary>Tells every notice of a reader.</summary>
    public void Say(IEnumerable<string> notices)
    {
        foreach (string notice in notices) Say($"notice: {notice}");
    }
}
