using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Tests.Scenes;

/// <summary>Writes the plan of a made scan as the folder that the command reads.</summary>
internal static class ScenePlan
{
    public static void Write(string folder, FitPlan plan)
    {
        Directory.CreateDirectory(folder);
        File.WriteAllText(Path.Combine(folder, "plan.json"), $$"""{"plan":"{{plan.Name}}","aircraft_type":"{{plan.AircraftType}}","doors":[{{string.Join(",", plan.Doors.Select(d => $$"""{"door":"{{d.Code}}","title":"{{d.Title}}","hand":"{{(d.Hand == Hand.Left ? "left" : "right")}}"}"""))}}]}""");
        File.WriteAllText(Path.Combine(folder, "limits.csv"), Invariant($"door,zone,station,characteristic,stage,nominal,lower,upper\n,,,gap,,{SeamScene.NominalGap},2,7\n,,,flush,,0,-3,3\n"));
        Table("stations.csv", "door,station,zone,x,y,z,nx,ny,nz,tx,ty,tz", plan.Doors.SelectMany(d => d.Stations.Select(s => $"{d.Code},{s.Name},{s.Zone},{Text(s.Position.FromOrigin)},{Text(s.Normal)},{Text(s.Tangent)}")));
        if (plan.Skin.Count > 0) Table("skin.csv", "x,y,z,nx,ny,nz,part", plan.Skin.Select(s => $"{Text(s.Position.FromOrigin)},{Text(s.Normal)},{s.Door ?? "surround"}"));
        if (plan.Datums.Count > 0) Table("datums.csv", "datum,x,y,z,sigma", plan.Datums.Select(d => $"{d.Name},{Text(d.Position.FromOrigin)},{d.SigmaMm}"));

        void Table(string name, string header, IEnumerable<string> rows) => File.WriteAllText(Path.Combine(folder, name), header + "\n" + string.Join("\n", rows) + "\n");

        static string Text(Vector3 v) => Invariant($"{v.X:0.000000000},{v.Y:0.000000000},{v.Z:0.000000000}");
    }

    /// <summary>The same door on the other side of the aircraft's middle plane.</summary>
    public static Door Mirrored(Door door, string code) => door with
    {
        Code = code,
        Hand = door.Hand == Hand.Left ? Hand.Right : Hand.Left,
        Stations = [.. door.Stations.Select(s => new Station(s.Name, s.Zone, s.Position with { Y = -s.Position.Y }, Flip(s.Normal), Flip(s.Tangent), Flip(s.IntoDoor), s.Index, s.AlongMm))],
    };

    /// <summary>A door of the same outline, smaller.</summary>
    public static Door Smaller(Door door, string code, double factor)
    {
        Point3 centre = door.Centre;
        return door with
        {
            Code = code,
            PerimeterMm = factor * door.PerimeterMm,
            Stations = [.. door.Stations.Select(s => new Station(s.Name, s.Zone, centre + factor * (s.Position - centre), s.Normal, s.Tangent, s.IntoDoor, s.Index, factor * s.AlongMm))],
        };
    }

    public static IEnumerable<SkinPoint> Mirrored(IEnumerable<SkinPoint> skin, string code) => skin.Select(s => new SkinPoint(s.Position with { Y = -s.Position.Y }, Flip(s.Normal), s.Door is null ? null : code));

    private static Vector3 Flip(Vector3 v) => v with { Y = -v.Y };
}
