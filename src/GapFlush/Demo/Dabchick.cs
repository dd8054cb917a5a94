using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>The Dabchick D4: the plan, builds and readings of an aircraft that exists only here, with the truth they were made from.</summary>
/// <remarks>
/// <para>Saltmarsh Aircraft Works, its aircraft, people and data are fiction. Sizes, limits and noises are plausible for the trade (taper gauge U 0.12 mm,
/// step gauge U 0.06 mm, doors hung to about 0.2 mm), not taken from any aircraft.</para>
/// <para>Same seed, same readings, on any machine.</para>
/// </remarks>
public static class Dabchick
{
    /// <summary>Builds in the build list.</summary>
    public const int BuildCount = 30;

    /// <summary>The seed of the demo as shipped.</summary>
    public const ulong DefaultSeed = 14;

    private static readonly Lazy<FitPlan> ThePlan = new(DabchickPlan.Make);
    private static readonly Lazy<PartModel> TheParts = new(() => new(ThePlan.Value));

    /// <summary>The fit plan, as it is read from <see cref="PlanFiles"/>.</summary>
    public static FitPlan Plan => ThePlan.Value;

    /// <summary>The files of the fit plan: path within the plan folder, and text.</summary>
    public static IReadOnlyList<(string Path, string Text)> PlanFiles() => PlanText.Files(Plan);

    /// <summary>The serial of a build.</summary>
    /// <param name="sequence">Place in the order of building, from 1.</param>
    public static string Serial(int sequence) => Invariant($"D4-{sequence:000}");

    /// <summary>One build of the demo with clean readings.</summary>
    /// <param name="seed">Same seed, same build. The build's place in the list, and with it day and mould revisions, is 1 + seed modulo 30.</param>
    /// <param name="options">Scales of the errors; null for the demo's own.</param>
    public static DemoBuild CleanBuild(ulong seed, DemoOptions? options = null) => Make(1 + (int)(seed % BuildCount), Stream(seed, 17), options ?? new(), null);

    /// <summary>One build with a fault planted in its readings.</summary>
    /// <param name="seed">Same seed, same build: the one that <see cref="CleanBuild"/> makes, and where a station is to be picked, the same station.</param>
    /// <param name="kind">One of <see cref="FaultKinds"/>.</param>
    /// <param name="door">Door to plant it on. The overdue gauge is dated after its calibration ran out, whenever the build was read.</param>
    /// <param name="options">Scales of the errors; null for the demo's own.</param>
    /// <param name="declared">For a definition mix, whether the rows say which definition was read.</param>
    /// <exception cref="ArgumentException">No such kind or door, or a wrong hand asked of the baggage door, which has no other.</exception>
    public static DemoBuild FaultyBuild(ulong seed, string kind, string door = "P1", DemoOptions? options = null, bool declared = true) =>
        WithFault(CleanBuild(seed, options), kind, door, declared, new(Stream(seed, 19)));

    /// <summary>A whole set of builds with clean readings, one for each row of the build list.</summary>
    /// <param name="seed">Same seed, same set.</param>
    /// <param name="options">Scales of the errors; null for the demo's own.</param>
    public static IEnumerable<DemoBuild> CleanSet(ulong seed, DemoOptions? options = null) =>
        Enumerable.Range(0, BuildCount).Select(i => CleanBuild(seed * BuildCount + (ulong)i, options));

    /// <summary>One build of the demo as it is written, planted faults and all.</summary>
    /// <param name="sequence">Place in the order of building, from 1 to <see cref="BuildCount"/>.</param>
    /// <param name="seed">Seed of the whole set.</param>
    /// <exception cref="ArgumentOutOfRangeException">There is no such build.</exception>
    public static DemoBuild Build(int sequence, ulong seed = DefaultSeed)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sequence, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(sequence, BuildCount);
        return DemoSet.Build(sequence, seed);
    }

    /// <summary>Every file of the demo: the plan, readings, levels, a gauge study, the truth, and a README.</summary>
    /// <param name="seed">Same seed, same bytes. The plan and the moulds do not depend on it.</param>
    public static IReadOnlyList<DemoFile> Write(ulong seed = DefaultSeed) => DemoSet.Files(seed);

    /// <summary>A readings file that must be refused: commas between the fields and in the numbers, so that no column can be told.</summary>
    public static DemoFile BrokenSheet()
    {
        string text = Sheet.Text(Build(1).Rows.Take(12), new() { Separator = ';', DecimalComma = true });
        return new("decimal-comma.csv", System.Text.Encoding.UTF8.GetBytes(text.Replace(';', ',')));
    }

    internal static PartModel Parts => TheParts.Value;

    /// <summary>A seed for one purpose out of a seed for the whole.</summary>
    internal static ulong Stream(ulong seed, ulong purpose) => new SeededRandom(seed ^ (purpose * 0xD1342543DE82EF95)).Bits();

    internal static DemoBuild WithFault(DemoBuild build, string kind, string door, bool declared, SeededRandom random)
    {
        List<SheetRow> rows = [.. build.Rows];
        PlantedFault fault = FaultPlanter.Plant(Plan, rows, kind, door, declared, random);
        return build with { Rows = rows, Faults = [.. build.Faults, fault] };
    }

    internal static DemoBuild Make(int sequence, ulong stream, DemoOptions options, DemoStory? story)
    {
        SeededRandom weather = new(Stream(stream, 1));
        // The shop is not heated: cold in February, warm in August.
        double day = DabchickPlan.DayOf(sequence).DayOfYear, shop = 19 - 5.5 * Math.Cos(2 * Math.PI * (day - 35) / 365) + weather.Normal(0, 1.2);
        List<DoorTruth> doors = [];
        foreach (Door door in Plan.Doors)
        {
            SeededRandom random = new(Stream(stream, 100 + (ulong)door.Code[0]));
            doors.Add(TheParts.Value.Hang(door, sequence, random, options, shop + weather.Normal(0, 0.4), story));
        }
        string serial = Serial(sequence);
        return new()
        {
            Serial = serial,
            Sequence = sequence,
            Doors = doors,
            Rows = SheetMaker.Read(Plan, serial, sequence, doors, options, new(Stream(stream, 2))),
        };
    }
}
