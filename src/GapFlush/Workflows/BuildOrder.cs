using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>Puts builds in the order of making and says which mould revisions made a door.</summary>
internal sealed class BuildOrder
{
    private readonly Dictionary<string, int> _places = [];
    private readonly Dictionary<(string Build, string Door), BuildEntry> _entries = [];

    /// <summary>Order by the plan's build list; builds that it does not name come after, in the order met.</summary>
    public BuildOrder(FitPlan plan, IEnumerable<string> builds)
    {
        foreach (BuildEntry entry in plan.Builds)
        {
            _entries[(entry.Build, entry.Door)] = entry;
            if (!_places.ContainsKey(entry.Build)) _places[entry.Build] = entry.Sequence;
        }
        int next = _places.Count == 0 ? 1 : _places.Values.Max() + 1;
        foreach (string build in builds)
        {
            if (!_places.ContainsKey(build)) _places[build] = next++;
        }
    }

    /// <summary>Place of a build in the order of making.</summary>
    public int Place(string build) => _places[build];

    /// <summary>What the build list says of a door of a build, or null.</summary>
    public BuildEntry? Entry(string build, string door) => _entries.GetValueOrDefault((build, door));
}
