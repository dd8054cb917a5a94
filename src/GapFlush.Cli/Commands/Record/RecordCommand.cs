using System.CommandLine;
using GapFlush.Store;

namespace GapFlush.Cli.Commands.Record;

/// <summary>The store of readings over all builds.</summary>
internal static class RecordCommand
{
    /// <summary>Who enters something.</summary>
    public static Option<string> By { get; } = new("--by") { Description = "Who enters this. Default: the name of the user of this machine.", HelpName = "NAME", DefaultValueFactory = _ => Environment.UserName };

    /// <summary>Why something is corrected.</summary>
    public static Option<string?> Why { get; } = new("--why") { Description = "Why it is corrected; needed for every correction.", HelpName = "TEXT" };

    public static Command Create() => new("record", "The record: every reading of every build, in a file (SQLite) or a PostgreSQL database.\n"
        + "Nothing in it is ever changed or deleted; a correction is a new entry that names the old one, who, when and why. Each entry is chained to the last, so that an alteration is found.")
    {
        RecordAddCommand.Create(), RecordListCommand.Create(), RecordCorrectCommand.Create(), RecordExportCommand.Create(), RecordVerifyCommand.Create(),
    };

    /// <summary>Who, now and why.</summary>
    public static Author Author(ParseResult parse) => new(parse.GetValue(By) is { } by && by.Trim().Length > 0 ? by.Trim() : Environment.UserName, Now(), parse.GetValue(Why) is { } why && why.Trim().Length > 0 ? why.Trim() : null);

    /// <summary>The present second, universal time.</summary>
    public static DateTimeOffset Now()
    {
        DateTimeOffset now = TimeProvider.System.GetUtcNow();
        return new(now.Ticks - now.Ticks % TimeSpan.TicksPerSecond, TimeSpan.Zero);
    }
}
