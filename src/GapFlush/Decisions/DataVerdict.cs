using GapFlush.Doubts;

namespace GapFlush.Decisions;

/// <summary>What can be said of the data, apart from what they say of the fit.</summary>
/// <param name="IsComplete">Every limited gap and flush has a value.</param>
/// <param name="IsPlausible">No doubt about the values themselves.</param>
/// <param name="IsIdentified">No doubt about which aircraft, door, stage, definition or plan issue they belong to.</param>
/// <param name="Doubts">The doubts about this door or about the whole build.</param>
public sealed record DataVerdict(bool IsComplete, bool IsPlausible, bool IsIdentified, IReadOnlyList<Doubt> Doubts)
{
    /// <summary>Kinds of doubt that are about what the data belong to, not about the values.</summary>
    public static IReadOnlySet<string> IdentityKinds { get; } = new HashSet<string>(StringComparer.Ordinal)
    {
        "wrong-serial", "wrong-hand", "plan-superseded", "definition-mix", "paint-state",
    };

    /// <summary>Kinds of doubt that leave the values themselves alone: something is not there, or the gauge should not have been used.</summary>
    public static IReadOnlySet<string> SideKinds { get; } = new HashSet<string>(StringComparer.Ordinal) { "missing-stations", "temperature-missing", "gauge-overdue", "gauge-coarse" };

    /// <summary>True when nothing is missing and nothing is doubted.</summary>
    public bool IsSound => IsComplete && IsPlausible && IsIdentified && Doubts.Count == 0;

    /// <summary>The verdict as words: "complete, not plausible, identified; 2 doubts".</summary>
    public string Words => $"{(IsComplete ? "" : "not ")}complete, {(IsPlausible ? "" : "not ")}plausible, {(IsIdentified ? "" : "not ")}identified"
        + (Doubts.Count == 0 ? "" : Doubts.Count == 1 ? "; 1 doubt" : $"; {Doubts.Count} doubts");

    /// <summary>The verdict on the data of a door.</summary>
    public static DataVerdict Of(string door, bool isComplete, IEnumerable<Doubt> doubts)
    {
        Doubt[] concern = [.. doubts.Where(d => d.Door is null || d.Door == door)];
        return new(isComplete, concern.All(d => IdentityKinds.Contains(d.Kind) || SideKinds.Contains(d.Kind)), !concern.Any(d => IdentityKinds.Contains(d.Kind)), concern);
    }
}
