using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Reports.Maps;

/// <summary>A door as it is seen from outside, square to its own plane, true to scale.</summary>
/// <remarks>
/// <para>Plane: that of the largest projected area of the station polygon, facing along the mean skin normal. Up on the page is the plan's +z as far as it goes
/// (for a door that lies flat, forward). To the right is up x outward, so a port door has forward on the left.</para>
/// </remarks>
internal sealed class OutlineView
{
    // A door whose plane is within about 18 degrees of level has no clear up; forward is put up instead.
    private const double LevelDoor = 0.95;

    private readonly Point3 _centre;
    private readonly Vector3 _right, _up;

    public OutlineView(FitPlan plan, Door door)
    {
        _centre = door.Centre;
        Vector3 area = default, normal = default;
        for (int i = 0; i < door.Stations.Count; i++)
        {
            Station a = door.Stations[i], b = door.Stations[(i + 1) % door.Stations.Count];
            area += (a.Position - _centre).Cross(b.Position - _centre);
            normal += a.Normal;
        }
        Vector3 outward = (area.Dot(normal) < 0 ? -area : area).ToUnit();
        Vector3 forward = plan.Airflow is Vector3 airflow ? -airflow : new Vector3(-1, 0, 0);
        Vector3 up = new(0, 0, 1);
        Vector3 guide = Math.Abs(outward.Dot(up)) > LevelDoor ? forward : up;
        _up = (guide - guide.Dot(outward) * outward).ToUnit();
        _right = _up.Cross(outward);
        Forward = Flat(forward);
        Up = Flat(up);
    }

    /// <summary>Where forward points in the view, to the right and up; shorter than 1 where it points partly out of the plane.</summary>
    public (double Right, double Up) Forward { get; }

    /// <summary>Where up points in the view.</summary>
    public (double Right, double Up) Up { get; }

    /// <summary>A place of the aircraft in the view, mm to the right and up from the door's centre.</summary>
    public (double Right, double Up) At(Point3 place) => Flat(place - _centre);

    /// <summary>A direction of the aircraft in the view.</summary>
    public (double Right, double Up) Flat(Vector3 v) => (v.Dot(_right), v.Dot(_up));
}
