using System.CommandLine;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Cli.Running;

/// <summary>Reads what nearly every command starts from.</summary>
internal static class PlanLoading
{
    /// <summary>The fit plan of the call.</summary>
    /// <exception cref="RefusedException">It cannot be used; every problem is told.</exception>
    public static FitPlan Plan(ParseResult parse, Talk talk) => PlanReader.Read(Disk.PlanFolder(parse.GetRequiredValue(CommonOptions.Plan))).Use(talk);

    /// <summary>The reading files of the call, every problem of every file told at once.</summary>
    /// <exception cref="RefusedException">One of them cannot be used.</exception>
    public static IReadOnlyList<ReadingLog> Readings(ParseResult parse, FitPlan plan, Talk talk)
    {
        List<Outcome<ReadingLog>> outcomes = [.. (parse.GetValue(CommonOptions.Readings) ?? []).Select(f => ReadingsReader.Read(Disk.Input(f), plan))];
        List<InputProblem> problems = [.. outcomes.SelectMany(o => o.Problems)];
        if (problems.Count > 0) throw new RefusedException(problems);
        return [.. outcomes.Select(o => o.Use(talk))];
    }

    /// <summary>The levels of the call, or null.</summary>
    public static LevelLog? Levels(ParseResult parse, FitPlan plan, Talk talk) => parse.GetValue(CommonOptions.Levels) is string path ? LevelsReader.Read(Disk.Input(path), plan).Use(talk) : null;

    /// <summary>The water tests of the call, or null.</summary>
    public static WaterTestLog? WaterTests(ParseResult parse, FitPlan plan, Talk talk) => parse.GetValue(CommonOptions.WaterTests) is string path ? WaterTestsReader.Read(Disk.Input(path), plan).Use(talk) : null;

    /// <summary>The value of an outcome, its notices told; or the refusal that ends the command.</summary>
    public static T Use<T>(this Outcome<T> outcome, Talk talk) where T : class
    {
        if (!outcome.IsUsable) throw new RefusedException(outcome.Problems);
        talk.Say(outcome.Notices);
        return outcome.Value;
    }
}
