using GapFlush.Reference.Drainage;
using GapFlush.Reference.Geometry;
using GapFlush.Reference.Statistics;

namespace GapFlush.Reference;

/// <summary>Computes the quantities that a reference folder expects, with the library, and writes them for comparison.</summary>
internal static class Program
{
    /// <summary>The groups the library covers, by form of folder. A new group is a line here.</summary>
    private static readonly Dictionary<FolderForm, IReferenceGroup[]> Groups = new()
    {
        [FolderForm.Statistics] = [.. SampleGroups.All, .. ProcessGroups.All, .. MeasuringGroups.All],
        [FolderForm.Geometry] = [new RegistrationGroup(), new SectionsGroup(), new FitsGroup(), new MinimumZoneGroup(), new RobustGroup(), new SealGroup(), new ThermalGroup(), new AeroGroup(), new StationsGroup()],
        [FolderForm.Drainage] =
        [
            new SlopeGroup(), new ManningGroup(), new ManningPublishedGroup(), new OrificeGroup(), new GutterCapacityGroup(), new LateralInflowGroup(), new RainGroup(),
            new GuttersGroup(), new FallUncertaintyGroup(),
        ],
    };

    public static int Main(string[] args)
    {
        if (args.Length != 2 || !Directory.Exists(args[0]))
        {
            Console.Error.WriteLine("usage: GapFlush.Reference FOLDER OUT.csv");
            return 2;
        }
        ReferenceOutput output = Compute(args[0]);
        using (StreamWriter writer = new(args[1])) output.Write(writer);
        Console.Error.WriteLine($"{output.Computed} computed, {output.NotCovered} not covered");
        return 0;
    }

    /// <summary>Everything the library computes of a folder.</summary>
    internal static ReferenceOutput Compute(string path)
    {
        ReferenceFolder folder = new(path);
        ReferenceOutput output = new(folder.ExpectedKeys());
        foreach (IReferenceGroup group in Groups[folder.Form]) group.Compute(folder, output);
        return output;
    }
}
