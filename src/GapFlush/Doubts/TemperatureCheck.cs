using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>temperature-missing: was the temperature logged where door and surround expand differently enough to matter, and can it be right?</summary>
internal static class TemperatureCheck
{
    /// <summary>How far from the reference temperature a hangar gets, K: a rounded half range over the year, common practice, no source.</summary>
    internal const double PlausibleRangeK = 20;

    /// <summary>Expansion matters from this share of the distance between target and limit on.</summary>
    internal const double ShareThatMatters = 0.1;

    /// <summary>Temperatures, °C, between which people read gauges; outside, another unit or a slip is likelier.</summary>
    internal const double Coldest = -30, Hottest = 60;

    public static IEnumerable<Doubt> Find(CaseFile file)
    {
        foreach (DoorSheet sheet in file.Sheets)
        {
            Door door = sheet.Door;
            Reading[] odd = [.. sheet.Everything.Select(p => p.Reading).Where(r => r.TemperatureC is < Coldest or > Hottest)];
            if (odd.Length > 0)
            {
                yield return new(DoubtKinds.TemperatureMissing, door.Code, [], Invariant($"{Words.Count(odd.Length, "reading")} of {door.Code} carry a temperature such as {odd[0].TemperatureC:0.#} °C, at which nobody reads gauges."),
                    "Correct the temperature; it is to be in °C.", odd[0].Source, odd[0].Line);
            }
            SheetPoint[] gaps = [.. sheet.All(Characteristic.Gap)];
            SheetPoint[] without = [.. gaps.Where(p => p.Reading.TemperatureC is null)];
            if (without.Length == 0 || door.ExpansionPerK is not double d || door.SurroundExpansionPerK is not double s) continue;
            // The door is held at one side, so the far side sees the whole width: the largest distance between stations across the door.
            double across = door.Stations.Max(a => door.Stations.Max(b => Math.Abs((a.Position - b.Position).Dot(a.IntoDoor))));
            double effect = Math.Abs(s - d) * across * PlausibleRangeK;
            double half = gaps.Where(p => p.Width is not null).Select(p => p.Width!.Value / 2).DefaultIfEmpty(double.PositiveInfinity).Min();
            if (effect <= ShareThatMatters * half) continue;
            yield return new(DoubtKinds.TemperatureMissing, door.Code, without.Length == gaps.Length ? [] : [.. without.Select(p => p.Station.Name).Distinct()],
                Invariant($"{without.Length} of {gaps.Length} gap readings of {door.Code} have no temperature. Door and surround expand differently ({1e6 * Math.Abs(s - d):0.#} in 10⁶ per K over {across:0} mm): {PlausibleRangeK:0} K off the reference temperature of {file.Plan.ReferenceTemperatureC:0.#} °C would move a gap by {effect:0.00} mm, {100 * effect / half:0} % of the way from nominal to the narrowest limit."),
                "Add the temperature of the parts to the sheet; without it the gaps cannot be brought to the reference temperature.", without[0].Reading.Source, without[0].Reading.Line);
        }
    }
}
