using GapFlush.Geometry;
using GapFlush.Inputs;

namespace GapFlush.Plan.Files;

/// <summary>Reads <c>skin.csv</c>: points of the nominal skin.</summary>
internal static class SkinCsv
{
    /// <summary>The points that could be read.</summary>
    public static IReadOnlyList<SkinPoint> Read(PlanFolder folder, PlanJson plan)
    {
        IReadOnlyList<PlanRow>? rows = PlanTable.Read(folder, "skin.csv", ["part"], ["x", "y", "z", "nx", "ny", "nz"]);
        List<SkinPoint> points = [];
        foreach (PlanRow row in rows ?? [])
        {
            Point3 place = row.Place();
            Vector3 normal = row.UnitVector("n");
            string part = row.Required("part");
            if (part.Length > 0 && part != "surround" && plan.DoorCodes is not null && !plan.DoorCodes.Contains(part))
                row.Refuse("part", "surround or a door of plan.json", NearestName.Remedy(part, ["surround", .. plan.DoorCodes]));
            points.Add(new(place, normal, part == "surround" ? null : part));
        }
        return points;
    }
}
