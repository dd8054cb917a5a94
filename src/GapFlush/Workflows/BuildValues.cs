using System.Collections.Concurrent;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Workflows;

/// <summary>Measures one build after another for studies of values alone; used by one thread at a time.</summary>
/// <param name="plan">The plan.</param>
/// <param name="stage">Only this stage, readings brought to it where paint alone differs; null for every stage for itself.</param>
/// <param name="limited">What is derived.</param>
/// <param name="doors">The doors prepared so far, by code and by the stage that their values are stated for; shared by all threads.</param>
internal sealed class BuildValues(FitPlan plan, string? stage, HashSet<Characteristic> limited, ConcurrentDictionary<(string Door, string? Stage), StudiedDoor> doors)
{
    private readonly Dictionary<(string Door, string? Stage), DoorValues> _doors = [];
    private readonly List<DoorValues> _taken = [];

    /// <summary>The values of a build, door by door; null where something is out of the usual and the build must be measured in full.</summary>
    /// <param name="readings">All readings, by the stretches of them that belong to the build.</param>
    public List<(StudiedDoor Door, double[] Values)>? Of(IEnumerable<ReadOnlyMemory<BareReading>> readings)
    {
        foreach (DoorValues used in _taken) used.Clear();
        _taken.Clear();
        if (!readings.All(r => Take(r.Span)) || (stage is null && _taken.Any(d => d.IsBlank) && !_taken.All(d => d.IsBlank))) return null;
        List<(StudiedDoor, double[])> rows = new(_taken.Count);
        foreach (DoorValues door in _taken)
        {
            if (door.Values() is not double[] values) return null;
            rows.Add((door.Door, values));
        }
        return rows;
    }

    private bool Take(ReadOnlySpan<BareReading> readings)
    {
        DoorValues? current = null;
        string? door = null, atStage = null;
        foreach (ref readonly BareReading reading in readings)
        {
            string? asked = stage ?? reading.Terms.Stage;
            if (current is null || reading.Place.Door != door || asked != atStage)
            {
                (door, atStage) = (reading.Place.Door, asked);
                if (DoorOf(door, atStage) is not DoorValues found) return false;
                if (found.IsEmpty) _taken.Add(found);
                current = found;
            }
            if (!current.Take(reading)) return false;
        }
        return true;
    }

    private DoorValues? DoorOf(string door, string? asked)
    {
        if (_doors.TryGetValue((door, asked), out DoorValues? known)) return known;
        if (plan.FindDoor(door) is not Door planned) return null;
        StudiedDoor studied = doors.GetOrAdd((door, PlanConditions.StageToJudge(plan, asked, [])), static (key, of) => new StudiedDoor(of.plan, of.planned, key.Stage, of.limited), (plan, planned, limited));
        return _doors[(door, asked)] = new(studied, isBlank: asked is null);
    }
}
