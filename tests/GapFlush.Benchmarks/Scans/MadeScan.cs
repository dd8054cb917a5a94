using System.Globalization;
using System.Text;
using GapFlush.Geometry;
using GapFlush.Tests.Scenes;

namespace GapFlush.Benchmarks.Scans;

/// <summary>Writes a made scan of a door and its surroundings, in a pose of its own, with the plan that goes with it.</summary>
internal static class MadeScan
{
    // Square millimetres that the made scan covers: about a metre square of skin, and the walls of the seam.
    private const double Area = 1.06e6;

    public static RigidMotion Pose { get; } = RigidMotion.About(new(2460, -500, 600), new(1.9, -0.8, 2.1), new(-1500, 900, 2200));

    public static SeamScene Scene(long points)
    {
        double pitch = Math.Sqrt(Area / points);
        return new(SceneOptions.Typical with { Seed = 7, Pitch = pitch, FarPitch = pitch, OnlyNearStations = false });
    }

    /// <summary>Writes <c>scan.ply</c> (binary, floats) or <c>scan.txt</c>, and the plan, into a folder.</summary>
    /// <returns>The path of the scan.</returns>
    public static string Write(string folder, long points, bool asText)
    {
        Directory.CreateDirectory(folder);
        SeamScene scene = Scene(points);
        ScenePlan.Write(Path.Combine(folder, "plan"), scene.Plan);
        string path = Path.Combine(folder, asText ? "scan.txt" : "scan.ply");
        using FileStream file = new(path, FileMode.Create, FileAccess.Write, FileShare.None, 1 << 20);
        long count = 0;
        if (asText)
        {
            using StreamWriter text = new(file, new UTF8Encoding(false), 1 << 20);
            text.Write("x y z\n");
            foreach (Point3 p in scene.Points())
            {
                Point3 q = Pose.Of(p);
                text.Write(string.Create(CultureInfo.InvariantCulture, $"{q.X:0.0000} {q.Y:0.0000} {q.Z:0.0000}\n"));
                count++;
            }
        }
        else
        {
            file.Write(Header(0));
            byte[] record = new byte[12];
            foreach (Point3 p in scene.Points())
            {
                Point3 q = Pose.Of(p);
                BitConverter.TryWriteBytes(record.AsSpan(0), (float)q.X);
                BitConverter.TryWriteBytes(record.AsSpan(4), (float)q.Y);
                BitConverter.TryWriteBytes(record.AsSpan(8), (float)q.Z);
                file.Write(record);
                count++;
            }
            file.Position = 0;
            file.Write(Header(count));
        }
        Console.WriteLine($"{path}: {count} points");
        return path;

        static byte[] Header(long count) => Encoding.ASCII.GetBytes($"ply\nformat binary_little_endian 1.0\nelement vertex {count:000000000000}\nproperty float x\nproperty float y\nproperty float z\nend_header\n");
    }
}
