using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Tests.Adjustment;

/// <summary>The sample plan with a door held by two hinges and a latch, each movement once.</summary>
internal static class HeldDoor
{
    public static FitPlan Plan(Door door, params LimitRow[] more)
    {
        Vector3 n = new(0, -1, 0);
        Point3 c = door.Centre;
        Adjuster At(string name, double x, double z, Vector3 d, double? step) => new(door.Code, name, c + new Vector3(x, 0, z), d, -2, 2, step);
        return SamplePlan.Make(door, more) with
        {
            Adjusters = [At("upper-in-out", -350, 300, n, 0.25), At("lower-in-out", -350, -300, n, 0.25), At("latch", 350, -150, n, 0.25),
                At("upper-slot", -350, 300, new(1, 0, 0), null), At("lower-slot", -350, -300, new(1, 0, 0), null), At("height", -350, -300, new(0, 0, 1), 0.5)],
        };
    }
}
