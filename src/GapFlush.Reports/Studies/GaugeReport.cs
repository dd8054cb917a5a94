using GapFlush.Plan;
using GapFlush.Reports.Pages;
using GapFlush.Workflows;

namespace GapFlush.Reports.Studies;

/// <summary>Is the gauge good enough? The paper of a gauge study.</summary>
public static class GaugeReport
{
    /// <summary>Composes the report.</summary>
    public static Report Compose(FitPlan plan, GaugeStudyRun study) => StudyPage.Report(plan, study.Answer.TrimEnd('.'), "Gauge study", [StudyPage.Answer(study.Answer)]);
}
