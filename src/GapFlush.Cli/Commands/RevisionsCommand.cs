using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.Plan;
using GapFlush.Reports.Studies;
using GapFlush.Revisions;
using GapFlush.Statistics;
using GapFlush.Workflows;

namespace GapFlush.Cli.Commands;

/// <summary>What did a mould revision change?</summary>
internal static class RevisionsCommand
{
    private static readonly Option<string?> DoorOption = new("--door") { Description = "The door.", HelpName = "D", Required = true };
    private static readonly Option<string?> FromOption = new("--from") { Description = "Earlier mould revision; without it the one before --to.", HelpName = "REV" };
    private static readonly Option<string?> ToOption = new("--to") { Description = "Later mould revision; without it the newest.", HelpName = "REV" };
    private static readonly Option<double> MattersOption = new("--matters") { Description = "Smallest difference that matters, mm.", HelpName = "MM", DefaultValueFactory = _ => 0.2 };

    private static readonly Option<bool> KeepOption = new("--keep-doubted") { Description = "Keep readings whose values are doubted (wrong serial or hand, units, decimal slips, gauge zero, ...); without it they are left out and listed." };

    public static Command Create()
    {
        Command command = new("revisions",
            "What a mould revision changed: every station with interval, false discoveries held to 5 % over the door; movement of the whole door, size and shape apart; wear; what the toolmaker is to correct.\n"
            + "Differences are later less earlier. Ends with 1 where a change is proven.\nExample: gapflush revisions plan --door P1 --from B --to C --readings logs/D4-001.csv logs/D4-002.csv")
        {
            CommonOptions.Plan, CommonOptions.Readings, CommonOptions.Record, DoorOption, FromOption, ToOption, CommonOptions.Stage, MattersOption, KeepOption, StudyReport.Out, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        double matters = parse.GetValue(MattersOption);
        if (!(matters > 0 && double.IsFinite(matters))) throw new RefusedException("--matters takes a positive length in mm.");
        (FitPlan plan, var readings) = ManyBuildsLoading.Read(parse, talk);
        string? stage = ManyBuildsLoading.Stage(parse, plan);
        string door = parse.GetValue(DoorOption)!;
        DoubtedReadings doubted = parse.GetValue(KeepOption) ? new(readings, []) : DoubtedReadings.Of(plan, door, readings);
        RevisionStudy study = RevisionStudy.Run(plan, ManyBuilds.Measure(plan, stage, doubted.Kept), door, parse.GetValue(FromOption), parse.GetValue(ToOption), stage, matters, doubted.LeftOut).Use(talk);
        foreach (string missing in study.Missing) talk.Say($"notice: {missing}");
        StudyReport.Give(parse, talk, o => Print(study, o), Json(study), () => RevisionReport.Compose(plan, study));
        return study.Changed.Count > 0 || study.DerivedChanged.Count > 0 ? ExitCode.NotAllWithin : ExitCode.AllWithin;
    }

    private static string Code(ChangeVerdict verdict) => verdict switch { ChangeVerdict.Changed => "changed", ChangeVerdict.Alike => "alike", _ => "undecided" };

    private static Dictionary<string, object?> Part(FieldPart p)
    {
        Interval i = p.Interval95;
        return JsonText.Object(("part", p.Name), ("unit", p.Unit), ("difference", p.Difference), ("lower_95", i.Low), ("upper_95", i.High), ("p", p.Comparison.WelchProbability));
    }

    private static Dictionary<string, object?> Json(RevisionStudy s) => JsonText.Object(
        ("answer", s.Answer), ("door", s.Door.Code), ("mould", s.IsDoorMould ? "door" : "surround"), ("from", s.From), ("to", s.To), ("stage", s.Stage), ("builds_from", s.FromBuilds), ("builds_to", s.ToBuilds), ("matters_mm", s.MattersMm),
        ("stations", s.Changes.Concat(s.Shapes).Select(c =>
        {
            Interval i = c.Interval95;
            return JsonText.Object(("basis", c.IsShape ? "shape" : "as-hung"), ("zone", c.Station.Zone), ("station", c.Station.Name), ("characteristic", c.Characteristic.Code), ("mean_from", c.Comparison.Second.Mean), ("mean_to", c.Comparison.First.Mean), ("difference", c.DifferenceMm),
                ("lower_95", i.Low), ("upper_95", i.High), ("p", c.Comparison.WelchProbability), ("p_adjusted", c.AdjustedProbability), ("p_equivalent", c.Equivalence.Probability), ("verdict", Code(c.Verdict)));
        })),
        ("derived", s.Derived.Select(d =>
        {
            Interval i = d.Interval95;
            return JsonText.Object(("zone", d.Zone), ("station", d.Station), ("characteristic", d.Characteristic.Code), ("unit", d.Characteristic.Unit), ("mean_from", d.Comparison.Second.Mean), ("mean_to", d.Comparison.First.Mean), ("difference", d.Difference),
                ("lower_95", i.Low), ("upper_95", i.High), ("p", d.Comparison.WelchProbability), ("p_adjusted", d.AdjustedProbability), ("p_equivalent", d.Equivalence?.Probability), ("verdict", Code(d.Verdict)));
        })),
        ("rigid", s.Rigid.Select(Part)), ("rigid_p", s.RigidTogether?.Probability), ("size", s.Size is null ? null : Part(s.Size)), ("shape", s.Waves.Select(Part)),
        ("corrections", s.Corrections.Select(c => JsonText.Object(("station", c.Change.Station.Name), ("characteristic", c.Change.Characteristic.Code), ("correction_mm", c.CorrectionMm), ("words", c.Words), ("ppk_now", c.PpkNow), ("ppk_after", c.PpkAfter)))),
        ("wear", s.Wear.Select(w => JsonText.Object(("station", w.Station.Name), ("characteristic", w.Characteristic.Code), ("mould", w.Mould), ("mm_per_100_pulls", w.SlopePer100Pulls), ("lower_95", w.Interval95.Low), ("upper_95", w.Interval95.High), ("p_adjusted", w.AdjustedProbability)))),
        ("excluded", s.Excluded.Select(x => JsonText.Object(("build", x.Build), ("reason", x.Reason)))), ("not_compared", s.Missing));

    private static void Print(RevisionStudy s, TextWriter o)
    {
        o.WriteLine(s.Answer);
        o.WriteLine();
        o.WriteLine("Movement of the whole door, size, and waves of shape (later less earlier, 95 % interval):");
        foreach (string line in TextTable.Lines(["part", ">difference", ">from", ">to", "unit", "proven"],
            [.. s.Rigid.Concat(s.Size is null ? [] : [s.Size]).Concat(s.Waves).Select(p => (IReadOnlyList<string>)[p.Name, Signed(p.Difference), Signed(p.Interval95.Low), Signed(p.Interval95.High), p.Unit, p.IsProven ? "yes" : "no"])])) o.WriteLine("  " + line);
        if (s.Corrections.Count > 0)
        {
            o.WriteLine();
            o.WriteLine("For the toolmaker, only where a change is proven; undoes the change:");
            foreach (string line in TextTable.Lines(["station", "characteristic", "basis", ">difference mm", ">95 % interval", "correction", ">Ppk now", ">Ppk after"],
                [.. s.Corrections.Select(c => (IReadOnlyList<string>)[c.Change.Station.Name, c.Change.Characteristic.Words, c.Change.IsShape ? "shape, hanging taken out" : "as hung", Signed(c.Change.DifferenceMm), $"{Signed(c.Change.Interval95.Low)} to {Signed(c.Change.Interval95.High)}", c.Words, TextTable.Figure(c.PpkNow, 2), TextTable.Figure(c.PpkAfter, 2)])])) o.WriteLine("  " + line);
        }
        if (s.DerivedWords is string said)
        {
            o.WriteLine();
            o.WriteLine($"What it means for the door. {said}");
            foreach (string line in TextTable.Lines(["place", "characteristic", ">earlier", ">later", ">difference", ">95 % interval", "unit"],
                [.. s.DerivedChanged.Select(d => (IReadOnlyList<string>)[d.PlaceWords, d.Characteristic.Words, TextTable.Figure(d.Comparison.Second.Mean, 2), TextTable.Figure(d.Comparison.First.Mean, 2), Signed(d.Difference), $"{Signed(d.Interval95.Low)} to {Signed(d.Interval95.High)}", d.Characteristic.Unit])]).Where(_ => s.DerivedChanged.Count > 0)) o.WriteLine("  " + line);
        }
        MouldWear[] worn = [.. s.Wear.Where(w => w.AdjustedProbability < 0.05)];
        o.WriteLine();
        o.WriteLine($"Wear. {s.WearWords}");
        foreach (MouldWear w in worn) o.WriteLine(Invariant($"  mould {w.Mould}, station {w.Station.Name} {w.Characteristic.Words}: {w.SlopePer100Pulls:+0.00;-0.00} mm per 100 pulls ({w.Interval95.Low:+0.00;-0.00} to {w.Interval95.High:+0.00;-0.00})"));
        if (s.Excluded.Count == 0) return;
        o.WriteLine();
        o.WriteLine("Left out:");
        foreach (ExcludedBuild x in s.Excluded) o.WriteLine($"  {x.Build}: {x.Reason}");
    }

    private static string Signed(double value) => Invariant($"{value:+0.000;-0.000;0.000}");
}
