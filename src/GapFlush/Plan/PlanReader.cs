using GapFlush.Inputs;
using GapFlush.Plan.Files;

namespace GapFlush.Plan;

/// <summary>Reads the folder of a fit plan and checks it as a whole.</summary>
/// <remarks>
/// <para>Files, found by the last part of their names: <c>plan.json</c>, <c>stations.csv</c> and <c>limits.csv</c> are required; <c>seals.csv</c>, <c>seal-curves.csv</c>,
/// <c>channels.csv</c>, <c>adjusters.csv</c>, <c>datums.csv</c>, <c>skin.csv</c>, <c>gauges.csv</c> and <c>builds.csv</c> may be absent, which reads as empty. Other files are left alone.</para>
/// <para>All files are read even where one is broken, and every problem is told, by file and line. What refers to a file that could not be read is then not held
/// against it, so that one slip is told once.</para>
/// <para>Tables are comma-separated with a decimal point; a byte order mark and CRLF do no harm. <c>plan.json</c> is plain JSON without comments. Unknown columns and
/// keys are named in a notice.</para>
/// <para>Unit vectors may be off by rounding to three decimals (length 1 within 0.001, scalar product of n and t 0 within 0.002); they are then made exact, t square to n.
/// A larger error is refused.</para>
/// </remarks>
public static class PlanReader
{
    /// <summary>Reads and checks a plan.</summary>
    /// <param name="files">The files of the folder; <see cref="InputFile.Name"/> is what messages show.</param>
    /// <returns>The plan, or every problem in the order of the files; and notices.</returns>
    public static Outcome<FitPlan> Read(IReadOnlyList<InputFile> files)
    {
        PlanFolder folder = new(files);
        PlanJson json = PlanJson.Read(folder);
        StationsCsv stations = StationsCsv.Read(folder, json);
        PlanNames names = new(json, stations.Rows);
        IReadOnlyList<LimitRow> limits = LimitsCsv.Read(folder, json, stations);
        IReadOnlyList<Seal>? seals = SealsCsv.Read(folder, names);
        IReadOnlyList<SealLoadPoint> curves = SealCurvesCsv.Read(folder, seals);
        IReadOnlyList<Channel> channels = ChannelsCsv.Read(folder, names);
        IReadOnlyList<Adjuster> adjusters = AdjustersCsv.Read(folder, names);
        IReadOnlyList<Datum> datums = DatumsCsv.Read(folder);
        IReadOnlyList<SkinPoint> skin = SkinCsv.Read(folder, json);
        IReadOnlyList<Gauge> gauges = GaugesCsv.Read(folder);
        IReadOnlyList<BuildEntry> builds = BuildsCsv.Read(folder, names);
        if (folder.Problems.Count > 0) return Outcome<FitPlan>.Refused(folder.ProblemsInOrder(), folder.Notices);

        FitPlan plan = new()
        {
            Name = json.Name,
            Issue = json.Issue,
            AircraftType = json.AircraftType,
            Axes = json.Axes,
            Airflow = json.Airflow,
            ReferenceTemperatureC = json.ReferenceTemperatureC,
            DecisionRule = json.DecisionRule,
            Doors = [.. json.Doors.Select(d => WithStations(d.Door, stations.ByDoor[d.Door.Code]))],
            Stages = json.Stages,
            Paint = json.Paint,
            Attitudes = json.Attitudes,
            RainMmPerH = json.RainMmPerH,
            Limits = new(limits),
            Seals = seals!,
            SealCurves = curves,
            Channels = channels,
            Adjusters = adjusters,
            Datums = datums,
            Skin = skin,
            Gauges = gauges,
            Builds = builds,
        };
        return Outcome<FitPlan>.Of(plan, folder.Notices);
    }

    private static Door WithStations(Door door, IReadOnlyList<Station> stations)
    {
        double closing = stations[^1].Position.DistanceTo(stations[0].Position);
        return door with { Stations = stations, PerimeterMm = stations[^1].AlongMm + closing };
    }
}
