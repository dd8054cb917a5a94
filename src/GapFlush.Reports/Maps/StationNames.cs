using GapFlush.Plan;

namespace GapFlush.Reports.Maps;

/// <summary>Station names as short as they can be on a map.</summary>
internal static class StationNames
{
    /// <summary>The names less the beginning that all share up to its last letter that is no digit: P1-01 becomes 01.</summary>
    public static string[] Short(Door door)
    {
        string[] names = [.. door.Stations.Select(s => s.Name)];
        int shared = 0;
        while (names.All(n => n.Length > shared + 1 && n[shared] == names[0][shared])) shared++;
        while (shared > 0 && char.IsDigit(names[0][shared - 1])) shared--;
        return [.. names.Select(n => n[shared..])];
    }
}
