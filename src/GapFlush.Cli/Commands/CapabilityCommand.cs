using System.CommandLine;
using GapFlush.Capability;
using GapFlush.Cli.Running;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Reports.Studies;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary>Is the process capable? Capability against limits over builds.</summary>
internal static class CapabilityCommand
{
    private static readonly Option<string?> CharacteristicOption = new("--characteristic") { Description = "Only this characteristic, by code (gap, flush, ...).", HelpName = "C" };
    private static readonly Option<CapabilityScope> ByOption = new("--by") { Description = "Each station, or the stations of a zone or door together; builds are then taken apart from the places on them.", DefaultValueFactory = _ => CapabilityScope.Station };
    private static readonly Option<bool> AcrossOption = new("--across-revisions") { Description = "Take mould revisions together; without it each revision stands for itself, newest first." };

    private static readonly Option<bool> EveryOption = new("--every-figure") { Description = "In the report the figures of earlier moulds too, and for every place the test of normality and the interval that holds 99 % of builds; without it the figures of the newest moulds." };

    public static Command Create()
    {
        Command command = new("capability",
            "Capability against limits over builds: Cp, Cpk (short-term), Pp, Ppk (overall) with 95 % intervals, by stated method. Stages, definitions and mould revisions are not mixed.\n"
            + "Ends with 1 where a value lies outside limits, or too few builds leave nothing to state.\nExample: gapflush capability plan --readings logs/D4-001.csv logs/D4-002.csv --characteristic gap")
        {
            CommonOptions.Plan, CommonOptions.Readings, CommonOptions.Record, CommonOptions.Stage, CharacteristicOption, ByOption, AcrossOption, StudyReport.Out, EveryOption, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        Characteristic? characteristic = ManyBuildsLoading.CharacteristicOf(parse.GetValue(CharacteristicOption));
        (FitPlan plan, BareReading[] readings) = ManyBuildsLoading.ReadBare(parse, talk);
        CapabilityStudy study = CapabilityStudy.OfReadings(plan, ManyBuildsLoading.Stage(parse, plan), readings, parse.GetValue(ByOption), characteristic, parse.GetValue(AcrossOption));
        foreach (string missing in study.Missing) talk.Say($"notice: {missing}");
        StudyReport.Give(parse, talk, o => Print(study, o), study.Lines.Select(Row), () => CapabilityReport.Compose(plan, study, parse.GetValue(EveryOption)));
        return study.Lines.Any(l => l.Capability.SeenOutside > 0 || l.Capability is { Limits: not null, FractionOutside: null }) ? ExitCode.NotAllWithin : ExitCode.AllWithin;
    }

    private static Dictionary<string, object?> Row(CapabilityLine l)
    {
        ProcessCapability c = l.Capability;
        return JsonText.Object(("door", l.Key.Door), ("zone", l.Key.Zone), ("station", l.Key.Station), ("characteristic", l.Key.Characteristic.Code), ("stage", l.Key.Stage),
            ("n", c.Count), ("mean", c.Mean), ("sd_within", c.SdWithin), ("sd_overall", c.SdOverall), ("lower", c.Limits?.Lower), ("upper", c.Limits?.Upper),
            ("cp", c.Cp), ("cpk", c.Cpk), ("pp", c.Pp), ("ppk", c.Ppk), ("ppk_lower_95", c.PpkInterval?.Low), ("ppk_upper_95", c.PpkInterval?.High),
            ("method", c.Method), ("normality_a2", c.NormalityA2), ("normality_p", c.NormalityProbability), ("fraction_outside", c.FractionOutside), ("in_control", c.InControl),
            ("definition", l.Key.Definition), ("door_mould", l.Key.DoorMould), ("surround_mould", l.Key.SurroundMould),
            ("fraction_outside_lower_95", c.FractionOutsideInterval?.Low), ("fraction_outside_upper_95", c.FractionOutsideInterval?.High), ("seen_outside", c.SeenOutside),
            ("sd_between_builds", c.SdBetweenBuilds), ("tolerance_factor", c.ToleranceFactor), ("tolerance_lower", c.ToleranceInterval?.Low), ("tolerance_upper", c.ToleranceInterval?.High), ("builds_for_ppk_1_33", c.CountForGoal), ("signals", c.Signals), ("note", l.Note));
    }

    private static void Print(CapabilityStudy study, TextWriter o)
    {
        o.WriteLine(study.Answer);
        o.WriteLine();
        foreach (string line in TextTable.Lines(["place", "characteristic", "stage", "mould", ">n", ">mean", ">sd", ">Cpk", ">Ppk", ">95 % interval", ">outside %", "control", "method", "for Ppk 1.33"],
            [.. study.Lines.Select(l => (IReadOnlyList<string>)
            [
                l.Key.PlaceWords, l.Key.Characteristic.Words, l.Key.Stage ?? "-", Mould(l.Key), Invariant($"{l.Capability.Count}"), TextTable.Figure(l.Capability.Mean, 3), TextTable.Figure(l.Capability.SdOverall, 3),
                TextTable.Figure(l.Capability.Cpk, 2), TextTable.Figure(l.Capability.Ppk, 2),
                l.Capability.PpkInterval is { } i ? Invariant($"{i.Low:0.00} to {i.High:0.00}") : "-", TextTable.Figure(100 * l.Capability.FractionOutside, 3),
                l.Capability.InControl switch { true => "in control", false => "NOT in control", null => "not told" }, l.Capability.Method, l.Note ?? l.Capability.GoalWords,
            ])])) o.WriteLine(line);
        CapabilityLine[] unstable = [.. study.Lines.Where(l => l.Capability.InControl == false)];
        if (unstable.Length > 0)
        {
            o.WriteLine();
            o.WriteLine("Not in control, so the figures above do not predict:");
            foreach (CapabilityLine l in unstable) o.WriteLine($"  {l.Key.PlaceWords} {l.Key.Characteristic.Words}: {string.Join("; ", l.Capability.Signals)}");
        }
    }

    private static string Mould(SeriesKey key) => key.DoorMould is null && key.SurroundMould is null ? "-" : $"{key.DoorMould ?? "?"}/{key.SurroundMould ?? "?"}";
}
