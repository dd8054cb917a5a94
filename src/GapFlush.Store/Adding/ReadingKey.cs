using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Store.Adding;

/// <summary>What makes two readings the same reading: a place, a characteristic, a state and a repeat of one build. A blank repeat is the first.</summary>
internal readonly record struct ReadingKey(string Door, string Station, Characteristic Characteristic, string? Stage, string? Definition, int Repeat)
{
    /// <summary>The key of a reading within its build.</summary>
    public static ReadingKey Of(Reading r) => new(r.Door, r.Station, r.Characteristic, r.Stage, r.Definition, r.Repeat ?? 1);
}
