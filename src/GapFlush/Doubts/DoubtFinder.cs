using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Doubts;

/// <summary>Looks through the gauge readings of one build for what a careful person would ask about. Nothing is corrected or left out because of it.</summary>
/// <remarks>
/// <para>Each check, its threshold with derivation, and the false alarms counted: METHOD.md. Coarse faults are looked for first, and readings that one of them explains are not
/// doubted a second time by a finer check; all of them stay in the data.</para>
/// <para>Same input, same doubts, in the order of <see cref="DoubtKinds.All"/>, then of the plan's doors and stations.</para>
/// </remarks>
public static class DoubtFinder
{
    /// <summary>Every doubt about the readings of a build.</summary>
    /// <param name="plan">The plan the readings were checked against.</param>
    /// <param name="build">Serial of the aircraft.</param>
    /// <param name="stage">The stage looked at, or null for all; readings without a stage count as of that stage.</param>
    /// <param name="logs">The logs handed in for this build; they may hold other builds too.</param>
    /// <param name="otherLogs">Logs of other builds, where there are any: they show what is usual, and whether a sheet was handed in under another serial.</param>
    /// <returns>The doubts, whole files before single readings; empty where there is none.</returns>
    public static IReadOnlyList<Doubt> Find(FitPlan plan, string build, string? stage, IReadOnlyList<ReadingLog> logs, IReadOnlyList<ReadingLog>? otherLogs = null)
    {
        CaseFile file = new(plan, build, stage, logs, otherLogs);
        List<Doubt> doubts =
        [
            .. SerialCheck.Find(file),
            .. DoubleEntryCheck.Find(file),
            .. PlanIssueCheck.Find(file),
            .. GaugeCertificateCheck.Find(file),
            .. TemperatureCheck.Find(file),
            .. MissingStationsCheck.Find(file),
            .. StageMixCheck.Find(file),
            .. DefinitionCheck.Marked(file),
            .. ScaleCheck.Sheets(file),
            .. OrderCheck.Find(file),
            .. StuckValueCheck.Find(file),
        ];
        foreach (DoorSheet sheet in file.Sheets.Where(s => !s.IsDisowned))
        {
            doubts.AddRange(DefinitionCheck.Unmarked(sheet));
            doubts.AddRange(ScaleCheck.Singles(sheet, sheet.Fit(constants: false)));
            doubts.AddRange(TranspositionCheck.Find(sheet, sheet.Fit(constants: false)));
        }
        ConstantCheck constants = new(file);
        doubts.AddRange(constants.GaugeZero());
        doubts.AddRange(constants.PaintState());

        Dictionary<string, int> kinds = DoubtKinds.All.Select((k, i) => (k, i)).ToDictionary(k => k.k, k => k.i), doors = plan.Doors.Select((d, i) => (d.Code, i)).ToDictionary(d => d.Code, d => d.i);
        return [.. doubts.OrderBy(d => kinds[d.Kind]).ThenBy(d => d.Door is null ? -1 : doors.GetValueOrDefault(d.Door, int.MaxValue)).ThenBy(d => FirstStation(plan, d))];
    }

    private static int FirstStation(FitPlan plan, Doubt doubt) =>
        doubt.Door is null || doubt.Stations.Count == 0 ? -1 : plan.FindDoor(doubt.Door)?.Find(doubt.Stations[0])?.Index ?? int.MaxValue;
}
