using System.Text;
using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Tests.Plan;

/// <summary>A door drawn on a flat, barrel or dome skin, of which every station's u is known from the drawing.</summary>
internal sealed record DrawnDoor(IReadOnlyList<(Point3 Place, Vector3 N, Vector3 T, Vector3 U)> Stations)
{
    /// <summary>A smooth outline, not always convex, on a skin that may wrap round most of a barrel; clockwise or not, anywhere in space, of either hand.</summary>
    public static DrawnDoor Random(SeededRandom random)
    {
        int skin = random.Below(3), lobes = 2 + random.Below(3), count = 28 + random.Below(40);
        double bend = random.Between(0, skin == 2 ? 0.1 : 0.25), phase = random.Between(0, 6.28), sense = random.Below(2) == 0 ? 1 : -1;
        double along = random.Between(300, 900), radius = random.Between(300, 800);
        double across = skin switch { 0 => random.Between(300, 900), 1 => random.Between(0.2, 0.6) * Math.PI * radius, _ => random.Between(0.2, 0.5) * radius };
        if (skin == 2) along = random.Between(0.2, 0.5) * radius;
        List<(Point3, Vector3, Vector3, Vector3)> stations = [];
        for (int i = 0; i < count; i++)
        {
            double angle = sense * 2 * Math.PI * (i + random.Between(-0.2, 0.2)) / count;
            double r = 1 + bend * Math.Cos(lobes * angle + phase), dr = -lobes * bend * Math.Sin(lobes * angle + phase);
            (double sin, double cos) = Math.SinCos(angle);
            (double a, double b) = (along * r * cos, across * r * sin);
            (double da, double db) = (sense * along * (dr * cos - r * sin), sense * across * (dr * sin + r * cos));
            (Point3 place, Vector3 sa, Vector3 sb) = On(skin, radius, a, b);
            Vector3 n = sa.Cross(sb).ToUnit(), t = (da * sa + db * sb).ToUnit();
            double left = da * -b - db * -a;   // the centre of the drawing lies to the left of the direction of travel
            stations.Add((place, n, t, Math.Sign(left) * n.Cross(t)));
        }
        DrawnDoor door = new(stations);
        door = door.Turned(random.Between(0, 6.28), random.Between(0, 6.28), random.Between(0, 6.28)).Moved(new(random.Between(-3000, 3000), random.Between(-900, 900), random.Between(0, 2000)));
        return random.Below(2) == 0 ? door : door.Mirrored();
    }

    public DrawnDoor Turned(double rx, double ry, double rz) => Each(v => AboutZ(AboutY(AboutX(v, rx), ry), rz));

    public DrawnDoor Mirrored() => Each(v => new(v.X, -v.Y, v.Z));

    public DrawnDoor Moved(Vector3 by) => new([.. Stations.Select(s => s with { Place = s.Place + by })]);

    /// <summary>The same seam walked the other way.</summary>
    public DrawnDoor Reversed() => new([.. Stations.Reverse().Select(s => s with { T = -s.T })]);

    public DrawnDoor Exchanged(int i, int j)
    {
        var all = Stations.ToArray();
        (all[i], all[j]) = (all[j], all[i]);
        return new(all);
    }

    /// <summary>Reads the door as the only one of a plan; directions with so many decimals. Station names are places in this drawing's list.</summary>
    public Outcome<FitPlan> Read(int decimals = 9)
    {
        string format = "0." + new string('#', decimals);
        StringBuilder rows = new("door,station,zone,x,y,z,nx,ny,nz,tx,ty,tz\n");
        for (int i = 0; i < Stations.Count; i++)
        {
            var s = Stations[i];
            rows.Append(Invariant($"D,{i},edge,{s.Place.X:0.######},{s.Place.Y:0.######},{s.Place.Z:0.######},"))
                .AppendJoin(',', new[] { s.N.X, s.N.Y, s.N.Z, s.T.X, s.T.Y, s.T.Z }.Select(c => c.ToString(format))).Append('\n');
        }
        return PlanReader.Read(
        [
            InputFile.FromText("plan.json", """{ "plan": "drawn", "aircraft_type": "none", "doors": [{ "door": "D" }] }"""),
            InputFile.FromText("stations.csv", rows.ToString()),
            InputFile.FromText("limits.csv", "door,zone,station,characteristic,lower,upper\n,,,gap,1,2\n,,,flush,-1,1\n"),
        ]);
    }

    private static (Point3 Place, Vector3 Sa, Vector3 Sb) On(int skin, double radius, double a, double b)
    {
        (double sa, double ca) = Math.SinCos(a / radius);
        (double sb, double cb) = Math.SinCos(b / radius);
        return skin switch
        {
            0 => (new(a, b, 0), new(1, 0, 0), new(0, 1, 0)),
            1 => (new(a, radius * sb, radius * cb), new(1, 0, 0), new(0, cb, -sb)),
            _ => (new(radius * sa * cb, radius * sb, radius * ca * cb), new(ca * cb, 0, -sa * cb), new(-sa * sb, cb, -ca * sb)),
        };
    }

    private DrawnDoor Each(Func<Vector3, Vector3> move) => new([.. Stations.Select(s => (new Point3(0, 0, 0) + move(s.Place.FromOrigin), move(s.N), move(s.T), move(s.U)))]);

    private static Vector3 AboutX(Vector3 v, double angle) => new(v.X, Math.Cos(angle) * v.Y - Math.Sin(angle) * v.Z, Math.Sin(angle) * v.Y + Math.Cos(angle) * v.Z);

    private static Vector3 AboutY(Vector3 v, double angle) => new(Math.Cos(angle) * v.X + Math.Sin(angle) * v.Z, v.Y, Math.Cos(angle) * v.Z - Math.Sin(angle) * v.X);

    private static Vector3 AboutZ(Vector3 v, double angle) => new(Math.Cos(angle) * v.X - Math.Sin(angle) * v.Y, Math.Sin(angle) * v.X + Math.Cos(angle) * v.Y, v.Z);
}
