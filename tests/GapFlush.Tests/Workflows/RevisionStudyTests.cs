using GapFlush.Demo;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Revisions;
using GapFlush.Workflows;

namespace GapFlush.Tests.Workflows;

/// <summary>Mould shifts planted in the demo are found where they are, and none is found where none is.</summary>
public class RevisionStudyTests
{
    private static FitPlan Plan => Dabchick.Plan;

    [Fact]
    public void The_planted_shift_of_the_port_door_is_found_with_its_rigid_part()
    {
        RevisionStudy study = Study("P1", 3, new());
        Assert.True(study.IsDoorMould);
        Assert.Equal(("B", "C"), (study.From, study.To));
        Assert.Contains(study.Changed, c => c.Station.Zone == "latch" && c.Characteristic == Characteristic.Flush);
        // Planted: 0.30 mm aft (x); its own interval must hold it, and zero must be outside.
        FieldPart x = study.Rigid[0];
        Assert.True(x.Interval95.Holds(0.30) && !x.Interval95.Holds(0));
        Assert.True(study.Rigid[2].Interval95.Holds(-0.20));
        Assert.StartsWith("Yes: door mould C differs from B on P1", study.Answer, StringComparison.Ordinal);
    }

    [Fact]
    public void A_local_change_is_found_as_shape_although_hanging_scatters_more()
    {
        RevisionStudy study = Study("S1", 3, new());
        StationChange[] found = [.. study.Shapes.Where(c => c.Verdict == ChangeVerdict.Changed)];
        Assert.Contains(found, c => c.Station.Zone == "header" && c.Characteristic == Characteristic.Flush && c.DifferenceMm < -0.1);
        Assert.All(study.Rigid, r => Assert.False(r.Comparison.WelchProbability < 0.001));
    }

    // The surround of B1 is revision B from D4-021 on: nothing moved, the gap opened along the sill. The truth is planted with the mould, the same for every seed.
    [Fact]
    public void The_planted_surround_change_of_the_baggage_door_is_found_with_intervals_that_cover_it()
    {
        RevisionStudy study = Study("B1", 3, new());
        Assert.False(study.IsDoorMould);
        Assert.Equal(("A", "B"), (study.From, study.To));
        Assert.Contains(study.Changed, c => c.Station.Zone == "sill" && c.Characteristic == Characteristic.Gap && c.DifferenceMm > 0.1);
        Dictionary<string, (double Gap, double Flush)> planted = File.ReadLines(Fixture.At("dabchick", "truth", "mould-shift-stations.csv")).Skip(1).Select(l => l.Split(',')).Where(f => f[0] == "B1")
            .ToDictionary(f => f[1], f => (double.Parse(f[2], System.Globalization.CultureInfo.InvariantCulture), double.Parse(f[3], System.Globalization.CultureInfo.InvariantCulture)));
        Assert.Contains(planted.Values, p => p.Gap > 0.15);
        // 84 intervals of 95 %, neighbours alike: fewer than 80 % held would be a fault.
        int held = study.Changes.Count(c => c.Interval95.Holds(c.Characteristic == Characteristic.Gap ? planted[c.Station.Name].Gap : planted[c.Station.Name].Flush));
        Assert.InRange(held, (int)(0.8 * study.Changes.Count), study.Changes.Count);
    }

    [Fact]
    public void Corrections_undo_the_change_and_only_where_it_is_proven()
    {
        RevisionStudy study = Study("P1", 3, new());
        Assert.NotEmpty(study.Corrections);
        Assert.All(study.Corrections, c => Assert.Equal(-c.Change.DifferenceMm, c.CorrectionMm));
        Assert.All(study.Corrections, c => Assert.True(c.Change.AdjustedProbability < 0.05));
        Assert.Equal(study.Changed.Count, study.Corrections.Count);
    }

    // At 5 % false discoveries and no change, a study with any finding, of gap, flush or what is derived from them, is one in twenty. 13 of 400 seeds gave one; GAPFLUSH_QUIET_SEEDS runs more seeds.
    [Fact]
    public void Without_a_shift_few_seeds_give_a_finding()
    {
        int seeds = int.TryParse(Environment.GetEnvironmentVariable("GAPFLUSH_QUIET_SEEDS"), out int asked) ? asked : 100, findings = 0;
        DemoOptions quiet = new() { MouldShift = false };
        Parallel.For(0, seeds, i =>
        {
            RevisionStudy study = Study("S1", (ulong)(1000 + i), quiet);
            Assert.Contains(study.Derived, d => d.Characteristic == Characteristic.Compression);
            if (study.Changed.Count + study.DerivedChanged.Count > 0) Interlocked.Increment(ref findings);
        });
        TestContext.Current.TestOutputHelper?.WriteLine($"{findings} of {seeds} seeds without a shift gave a finding");
        Assert.InRange(findings, 0, (int)(0.07 * seeds));
    }

    // The latch edge of P1 stands 0.3 mm prouder from revision C on, and its seal lies in a lap of 8 mm: about 4 % less compression there, and a lower closing load is not proven by it.
    [Fact]
    public void The_planted_shift_is_seen_in_the_seal_that_it_slackens()
    {
        RevisionStudy study = Study("P1", 3, new());
        DerivedChange[] seal = [.. study.DerivedChanged.Where(d => d.Characteristic == Characteristic.Compression)];
        Assert.NotEmpty(seal);
        Assert.All(seal, d => Assert.Equal("latch", d.Zone));
        Assert.All(seal, d => Assert.True(d.Interval95.High < 0));
        Assert.Contains("Seal compression changed at", study.DerivedWords, StringComparison.Ordinal);
        // A change proven to be below 0.2 mm of land gap is one below 2.5 % of a free height of 8 mm.
        Assert.All(study.Derived.Where(d => d.Verdict == ChangeVerdict.Alike && d.Characteristic == Characteristic.Compression), d => Assert.InRange(d.Difference, -2.5, 2.5));
        Assert.Contains(study.Derived, d => d.Characteristic == Characteristic.ClosingLoad && d.Station is null && d.Zone is null && d.Equivalence is null);
    }

    [Fact]
    public void Without_a_build_list_it_says_what_is_missing()
    {
        Outcome_is_refused(RevisionStudy.Run(Plan with { Builds = [] }, [], "P1"), "builds.csv");
        Outcome_is_refused(RevisionStudy.Run(Plan, [], "P9"), "P9");
        Outcome_is_refused(RevisionStudy.Run(Plan, [], "P1", to: "Q"), "Q");

        static void Outcome_is_refused(GapFlush.Inputs.Outcome<RevisionStudy> outcome, string word)
        {
            Assert.False(outcome.IsUsable);
            Assert.Contains(word, outcome.Problems[0].ToString(), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void The_worked_example_of_the_method_holds()
    {
        GapFlush.Statistics.TwoSampleComparison t = new([0.31, 0.22, 0.28, 0.27], [0.02, -0.05, 0.04, 0.01]);
        string text = File.ReadAllText(Path.Combine(Fixture.Root, "src", "GapFlush", "Revisions", "METHOD.md"));
        string said = Invariant($"Difference {t.Difference:+0.000}, 95 % interval {t.WelchInterval().Low:+0.000} to {t.WelchInterval().High:+0.000}");
        Assert.True(text.Contains(said, StringComparison.Ordinal), said);
    }

    [Fact]
    public void Builds_that_lack_what_is_compared_are_named_with_what_and_why()
    {
        Reading[] all = [.. Dabchick.CleanSet(3).SelectMany(b => b.Readings).Where(r => r.Door == "P1")];
        Assert.Empty(Run(all).Missing);
        RevisionStudy whole = Run(all);
        string[] early = [.. whole.FromBuilds], late = [.. whole.ToBuilds];
        RevisionStudy study = Run([.. all.Where(r => !(r.Characteristic == Characteristic.LandGap && (r.Build == early[0] || r.Build == late[0]))
            && !(r.Characteristic == Characteristic.Flush && r.Build == late[1]) && !(r.Characteristic == Characteristic.Gap && r.Build == early[1] && (r.Station is "3" or "4")))]);
        Assert.Contains(study.Missing, w => w.StartsWith($"Seal compression is compared without 2 of {early.Length + late.Length} builds ({early[0]}, {late[0]}): no land_gap was read", StringComparison.Ordinal));
        Assert.Contains(study.Missing, w => w.StartsWith("Closing load is compared without 2", StringComparison.Ordinal));
        Assert.Contains(study.Missing, w => w.StartsWith(FormattableString.Invariant($"Flush is compared without 1 of {early.Length + late.Length} builds ({late[1]}): none was read. {early.Length} of B against {late.Length - 1} of C are left."), StringComparison.Ordinal));
        Assert.Contains(study.Missing, w => w.Contains($"{early[1]} lacks 2 of 54", StringComparison.Ordinal) && w.StartsWith("Gap", StringComparison.Ordinal));
        // The comparison itself goes without them.
        Assert.Equal(whole.Derived.First(d => d.Characteristic == Characteristic.Compression).Comparison.Second.Count - 1, study.Derived.First(d => d.Characteristic == Characteristic.Compression).Comparison.Second.Count);
        // No land gap at all: told once, for all.
        Assert.Contains(Run([.. all.Where(r => r.Characteristic != Characteristic.LandGap)]).Missing, w => w.StartsWith("Seal compression is not compared: no land_gap was read", StringComparison.Ordinal));
    }

    [Fact]
    public void A_revision_of_one_build_is_refused_with_the_build_and_what_else_could_be_compared()
    {
        Reading[] all = [.. Dabchick.CleanSet(3).SelectMany(b => b.Readings).Where(r => r.Door == "P1")];
        RevisionStudy whole = Run(all);
        string only = whole.ToBuilds[0];
        InputProblem problem = Assert.Single(RevisionStudy.Run(Plan, ManyBuilds.Measure(Plan, null, [.. all.Where(r => r.Build == only || whole.FromBuilds.Contains(r.Build))]), "P1").Problems);
        Assert.Equal(Invariant($"{whole.FromBuilds.Count} builds of B and 1 build of C ({only})"), problem.Found);
        Assert.Contains("one build alone shows no scatter", problem.Expected, StringComparison.Ordinal);
        Assert.Contains("Left out:", problem.Remedy, StringComparison.Ordinal);
    }

    private static RevisionStudy Run(Reading[] readings) => RevisionStudy.Run(Plan, ManyBuilds.Measure(Plan, null, readings), "P1").Value;

    private static RevisionStudy Study(string door, ulong seed, DemoOptions options) =>
        RevisionStudy.Run(Plan, ManyBuilds.Measure(Plan, null, [.. Dabchick.CleanSet(seed, options).SelectMany(b => b.Readings).Where(r => r.Door == door)]), door).Value;
}
