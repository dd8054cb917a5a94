using System.CommandLine;

namespace GapFlush.Cli.Running;

/// <summary>Arguments and options that several commands share, with one wording.</summary>
internal static class CommonOptions
{
    /// <summary>The fit plan folder.</summary>
    public static Argument<string> Plan { get; } = new("PLAN") { Description = "The fit plan: a folder with plan.json, stations.csv, limits.csv and whatever else applies." };

    /// <summary>Serial of the aircraft, where it may be left out.</summary>
    public static Option<string?> Build { get; } = new("--build") { Description = "Serial of the aircraft, as in the build column.", HelpName = "B" };

    /// <summary>Reading files.</summary>
    public static Option<string[]> Readings { get; } = new("--readings") { Description = "A file of gauge readings; may be given several times.", HelpName = "F", AllowMultipleArgumentsPerToken = true };

    /// <summary>Channel levels.</summary>
    public static Option<string?> Levels { get; } = new("--levels") { Description = "A file of measured channel levels (build,channel,point,z or with x,y).", HelpName = "F" };

    /// <summary>Water tests.</summary>
    public static Option<string?> WaterTests { get; } = new("--water-tests") { Description = "A file of water tests (build,door,result and station,attitude,minutes,flow_l_per_min): shown beside what is predicted, never mixed with it.", HelpName = "F" };

    /// <summary>The record.</summary>
    public static Option<string?> Record { get; } = new("--record") { Description = "The record: a file (SQLite) or postgresql://USER@HOST:PORT/DATABASE. Default: the environment variable GAPFLUSH_RECORD.", HelpName = "R" };

    /// <summary>Stage.</summary>
    public static Option<string?> Stage { get; } = new("--stage") { Description = "The stage to state values for, as named in plan.json; needed only where readings of several stages are given.", HelpName = "S" };

    /// <summary>JSON on standard output.</summary>
    public static Option<bool> Json { get; } = new("--json") { Description = "Print the result as JSON; nothing else goes to standard output." };

    /// <summary>No talk.</summary>
    public static Option<bool> Quiet { get; } = new("--quiet") { Description = "No notices and no progress; problems are still told." };
}
