namespace GapFlush.Doubts;

/// <summary>plan-superseded: was the sheet printed from the issue of the plan that is in force?</summary>
internal static class PlanIssueCheck
{
    public static IEnumerable<Doubt> Find(CaseFile file)
    {
        if (file.Plan.Issue is not string issue) return [];
        return file.Readings.Where(r => r.PlanIssue is not null && !string.Equals(r.PlanIssue, issue, StringComparison.OrdinalIgnoreCase)).GroupBy(r => (r.Source, r.PlanIssue))
            .Select(rows => new Doubt(DoubtKinds.PlanSuperseded, rows.Select(r => r.Door).Distinct().Count() == 1 && file.Sheets.Count > 1 ? rows.First().Door : null, [],
                $"{Words.Count(rows.Count(), "reading")} came on a sheet of issue {rows.Key.PlanIssue} of the plan; issue {issue} is used here.",
                "See what changed between the issues: stations, limits or definitions may not be those that were read to.", rows.Key.Source, rows.First().Line));
    }
}
