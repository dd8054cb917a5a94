using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Registration;
using GapFlush.Scans;
using GapFlush.Sections;
using GapFlush.Tests.Scenes;

namespace GapFlush.Benchmarks.Scans;

/// <summary>Where the time of a scan goes, stage by stage: wall and processor time, warm.</summary>
internal static class StageTimes
{
    public static void Print(string path)
    {
        SeamScene scene = new(SceneOptions.Typical with { Seed = 7 });
        (FitPlan plan, Door door) = (scene.Plan, scene.Door);
        InputFile file = new(path, () => File.OpenRead(path));
        for (int round = 0; round < 3; round++)
        {
            Console.WriteLine(round == 0 ? "cold" : "warm");
            ScanSample sample = new(1, new FileInfo(path).Length / 12);
            StageClock.Run("read and sample", () => ScanReader.Read(file, sample));
            SeamImage image = StageClock.Run("seam image", () => SeamImage.Of(sample, SeamScene.NominalGap)!);
            CoarseAlignment.Pose pose = StageClock.Run("coarse pose", () => CoarseAlignment.Find(image, door, false, out _)!);
            RigidMotion start = pose.Motion;
            NominalSkin? skin = StageClock.Run("nominal skin", () => NominalSkin.Of(plan, door));
            start = StageClock.Run("onto the skin", () => SurroundRegistration.Fit(door, [.. door.Stations.Select(s => new SurroundRegistration.Sighting(s, 0, null))], skin, sample, start, 0.5)!).Correction.After(start);
            StationSlab[] slabs = [.. door.Stations.Select((_, i) => new StationSlab(door, i, SeamScene.NominalGap, 0, new()))];
            StageClock.Run("read and collect", () => ScanReader.Read(file, new SlabCollector(slabs, start, 1)));
            IReadOnlyList<StationSection> sections = StageClock.Run("fit sections", () => DoorSections.Take(door, slabs, new(), null, 1));
            SurroundRegistration held = StageClock.Run("surround", () => SurroundRegistration.Fit(door, [.. sections.Select(s => new SurroundRegistration.Sighting(s.Station, s.SurroundEdgeMm, s.SurroundFaceMm))], skin, sample, start)!);
            RigidMotion left = held.Correction.After(start).After(MadeScan.Pose), before = start.After(MadeScan.Pose);
            Console.WriteLine(FormattableString.Invariant($"sample {sample.Count}, seams {image.Seams.Length}, outward {image.OutwardSign}, locked {pose.Locked:0.00}, miss {pose.MissMm:0.00}; farthest place {door.Stations.Max(s => before.Of(s.Position).DistanceTo(s.Position)):0.000}, then {door.Stations.Max(s => left.Of(s.Position).DistanceTo(s.Position)):0.000} mm, {1000 * left.AngleRad:0.000} mrad"));
        }
    }
}
