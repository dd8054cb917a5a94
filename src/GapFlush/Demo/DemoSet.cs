using System.Text;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>The thirty builds of the demo, which of them carry a fault, how their files are spelt, and all files of the demo.</summary>
internal static class DemoSet
{
    /// <summary>The builds with planted faults: sequence, kind, door.</summary>
    internal static IReadOnlyList<(int Sequence, string Kind, string Door)> Faults { get; } =
    [
        (3, FaultKinds.DecimalSlip, "P1"),
        (6, FaultKinds.MissingStations, "S1"),
        (8, FaultKinds.WrongSerial, "S1"),
        (10, FaultKinds.TransposedStations, "P1"),
        (11, FaultKinds.InchValues, "B1"),
        (13, FaultKinds.GaugeZero, "P1"),
        (16, FaultKinds.WrongHand, "P1"),
        (19, FaultKinds.PaintState, "S1"),
        (20, FaultKinds.DoubleEntry, "P1"),
        (20, FaultKinds.GaugeCoarse, "B1"),
        (22, FaultKinds.StuckValue, "P1"),
        (24, FaultKinds.ReversedOrder, "B1"),
        (25, FaultKinds.GaugeOverdue, "P1"),
        (25, FaultKinds.DefinitionMix, "S1"),
        (27, FaultKinds.TemperatureMissing, "P1"),
        (29, FaultKinds.PlanSuperseded, "P1"),
    ];

    /// <summary>Builds whose readings are spelt otherwise than plainly. None of this is a fault.</summary>
    internal static IReadOnlyDictionary<int, (SheetSpelling Spelling, string What)> Spellings { get; } = new Dictionary<int, (SheetSpelling, string)>
    {
        [2] = (new() { Separator = ';', DecimalComma = true }, "semicolons and decimal commas"),
        [4] = (new() { Separator = '\t' }, "tabs"),
        [7] = (new() { Inches = true }, "inches, said in the unit column"),
        [9] = (new() { ByteOrderMark = true, CarriageReturns = true }, "byte order mark and CR LF"),
        [12] = (new() { Separator = ';', DecimalComma = true, Latin1 = true, CarriageReturns = true }, "Latin-1 letters, semicolons, decimal commas and CR LF"),
        [15] = (new() { Quotes = true }, "every field in quotes"),
    };

    /// <summary>Builds with three repeats at some stations.</summary>
    private static readonly int[] Repeated = [5, 17, 23];

    public static DemoBuild Build(int sequence, ulong seed)
    {
        DemoBuild build = Dabchick.Make(sequence, Of(seed, sequence), new() { Repeats = Repeated.Contains(sequence) ? 3 : 1 }, DemoStory.Of(sequence));
        if (sequence == 12) build = build with { Rows = [.. build.Rows.Select((r, i) => i == 0 ? r with { Note = "Türkante entgratet" } : r)] };
        foreach ((int _, string kind, string door) in Faults.Where(f => f.Sequence == sequence))
            build = Dabchick.WithFault(build, kind, door, true, new(Dabchick.Stream(Of(seed, sequence), 3000 + (ulong)FaultKinds.All.ToList().IndexOf(kind))));
        return build;
    }

    public static IReadOnlyList<DemoFile> Files(ulong seed)
    {
        FitPlan plan = Dabchick.Plan;
        DemoBuild[] builds = [.. Enumerable.Range(1, Dabchick.BuildCount).Select(i => Build(i, seed))];
        List<DemoFile> files = [Text("README.md", DemoReadme.Text(seed)), .. PlanText.Files(plan).Select(f => Text(f.Path, f.Text))];
        files.AddRange(builds.Select(b => new DemoFile("readings/" + b.FileName, Sheet.Bytes(b.Rows, Spellings.GetValueOrDefault(b.Sequence).Spelling))));
        files.Add(new("studies/gauge-study.csv", Sheet.Bytes(GaugeStudyModel.Read(plan, builds[16], Dabchick.Stream(seed, 23)))));
        files.AddRange(ChannelModel.Levelled.Select(i => Text($"levels/{Dabchick.Serial(i)}.csv", ChannelModel.Levels(plan, i, Of(seed, i)))));
        files.AddRange(ScanModel.Files(plan, builds[ScanModel.Scanned.Sequence - 1], Dabchick.Stream(seed, 29)));
        files.AddRange(Truth(plan, builds, seed).Select(f => Text("truth/" + f.Name, f.Text)));
        return files;
    }

    internal static ulong Of(ulong seed, int sequence) => Dabchick.Stream(seed, 1000 + (ulong)sequence);

    private static DemoFile Text(string path, string text) => new(path, Encoding.UTF8.GetBytes(text));

    private static IEnumerable<(string Name, string Text)> Truth(FitPlan plan, DemoBuild[] builds, ulong seed)
    {
        yield return ("displacement.csv", PlanText.Csv(
            "build,door,tx_mm,ty_mm,tz_mm,rx_mrad,ry_mrad,rz_mrad,nearest_tx_mm,nearest_ty_mm,nearest_tz_mm,nearest_rx_mrad,nearest_ry_mrad,nearest_rz_mrad,temperature_c",
            builds.SelectMany(b => b.Doors.Select(d =>
            {
                RigidShare nearest = d.NearestRigid;
                return (object?[])[b.Serial, d.Door.Code, .. Three(d.TranslationMm, 1), .. Three(d.RotationRad, 1000), .. Three(nearest.TranslationMm, 1), .. Three(nearest.RotationRad, 1000), Math.Round(d.TemperatureC, 2)];
            }))));
        yield return ("values.csv", PlanText.Csv("build,door,station,gap,flush,land_gap,gap_shape,flush_shape", builds.SelectMany(b => b.Doors.SelectMany(d => d.Door.Stations.Select(s =>
            (object?[])[b.Serial, d.Door.Code, s.Name, R(d.GapMm[s.Index]), R(d.FlushMm[s.Index]), R(d.LandGapMm[s.Index]), R(d.GapShapeMm[s.Index]), R(d.FlushShapeMm[s.Index])])))));
        yield return ("faults.csv", PlanText.Csv("build,kind,door,stations,what",
            builds.SelectMany(b => b.Faults.Select(f => (object?[])[b.Serial, f.Kind, f.Door, string.Join(' ', f.Stations), f.What]))));
        IReadOnlyList<PartModel.MouldShift> shifts = Dabchick.Parts.Shifts;
        yield return ("mould-shifts.csv", PlanText.Csv("door,part,from,to,tx_mm,ty_mm,tz_mm,rx_mrad,ry_mrad,rz_mrad,size_mm",
            shifts.Select(s => (object?[])[s.Door, s.Part, s.From, s.To, .. Three(s.TranslationMm, 1), .. Three(s.RotationRad, 1000), s.SizeMm])));
        yield return ("mould-shift-stations.csv", PlanText.Csv("door,station,gap,flush,local_gap,local_flush", shifts.SelectMany(s => plan.FindDoor(s.Door)!.Stations.Select(p =>
            (object?[])[s.Door, p.Name, R(s.TotalGap(plan, p.Index)), R(s.TotalFlush(plan, p.Index)), R(s.GapMm[p.Index]), R(s.FlushMm[p.Index])]))));
        yield return ("levels.csv", PlanText.Csv("build,channel,point,z", ChannelModel.Levelled.SelectMany(i => ChannelModel.Heights(plan, i, Of(seed, i)).SelectMany(c =>
            c.HeightMm.Select((z, k) => (object?[])[Dabchick.Serial(i), c.Channel.Name, c.Channel.Points[k].Name, R(z)])))));

        static double R(double value) => Math.Round(value, 4) + 0.0;
        static IEnumerable<object?> Three(Vector3 v, double scale) => [R(scale * v.X), R(scale * v.Y), R(scale * v.Z)];
    }
}
