using GapFlush.Plan;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Maps;

namespace GapFlush.Web;

/// <summary>What the page needs of the plan. Limits are left off on purpose, so that nobody reads towards them; the verdict comes after the value.</summary>
internal static class PagePlan
{
    /// <summary>The plan in the page's form.</summary>
    public static object Of(FitPlan plan) => new
    {
        name = plan.Name,
        issue = plan.Issue,
        aircraft = plan.AircraftType,
        caution = TitleBlock.Caution,
        builds = plan.Builds.Select(b => b.Build).Distinct(),
        stages = plan.Stages.Select(s => new { name = s.Name, state = string.Join(", ", new[] { s.Paint, s.Seal is null ? null : $"seal {s.Seal}", s.Latch, s.Support }.OfType<string>()) }),
        gauges = plan.Gauges.Select(g => new { name = g.Name, kind = g.Kind, due = g.CalibrationDue?.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture) }),
        doors = plan.Doors.Select(d => Door(plan, d)),
        marks = Enum.GetValues<Mark>().ToDictionary(m => MarkShapes.Word(m), m => SvgWriter.Fragment(MarkShapes.At(m, new(2, 2), 3))),
    };

    private static object Door(FitPlan plan, Door door)
    {
        DoorOutline outline = DoorOutline.Of(plan, door);
        return new
        {
            code = door.Code,
            title = door.Title,
            width = outline.Width,
            height = outline.Height,
            definitions = $"gap {door.GapDefinition.Code}, flush {door.FlushDefinition.Code}",
            characteristics = RouteSheet.ToRead(plan, door).Select(c => new { code = c.Code, words = c.Words, unit = c.Unit }),
            stations = door.Stations.Select((s, i) => new { name = s.Name, zone = s.Zone, x = Math.Round(outline.Places[i].Right, 1), y = Math.Round(outline.Places[i].Down, 1) }),
        };
    }
}
