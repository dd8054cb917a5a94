using System.Globalization;
using System.Text;
using System.Text.Json;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Sections;

namespace GapFlush.Workflows;

/// <summary>Sections as rows of a file, as JSON, and as measurements.</summary>
public static class SectionOutput
{
    // Expanded uncertainty, k = 2.
    private const double Coverage = 2;

    private static readonly string[] Columns =
        ["door", "zone", "station", "gap", "gap_uncertainty", "flush", "flush_uncertainty", "surround_edge", "surround_face", "door_edge", "door_face", "tilt_deg", "points_surround", "points_door", "reason", "surround_edge_uncertainty", "surround_face_uncertainty", "door_edge_uncertainty", "door_face_uncertainty"];

    /// <summary>Comma-separated rows with a header, one a station.</summary>
    public static string Csv(DoorScan scan)
    {
        StringBuilder text = new();
        text.Append(string.Join(',', Columns)).Append('\n');
        foreach (StationSection s in scan.Stations) text.Append(string.Join(',', Values(scan, s).Select(Field))).Append('\n');
        return text.ToString();
    }

    /// <summary>A JSON list, one object a station.</summary>
    public static string Json(DoorScan scan)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream, JsonForm.Indented))
        {
            json.WriteStartArray();
            foreach (StationSection s in scan.Stations)
            {
                json.WriteStartObject();
                object?[] values = Values(scan, s);
                for (int i = 0; i < values.Length; i++)
                {
                    switch (values[i])
                    {
                        case double d when double.IsFinite(d): json.WriteNumber(Columns[i], Math.Round(d, 6)); break;
                        case int n: json.WriteNumber(Columns[i], n); break;
                        case string t: json.WriteString(Columns[i], t); break;
                        default: json.WriteNull(Columns[i]); break;
                    }
                }
                json.WriteEndObject();
            }
            json.WriteEndArray();
        }
        return Encoding.UTF8.GetString(stream.ToArray()) + "\n";
    }

    /// <summary>Gap and flush at every station as measurements, the missing ones with their reason.</summary>
    public static IReadOnlyList<Measurement> Measurements(DoorScan scan, string build)
    {
        List<Measurement> all = [];
        foreach (StationSection s in scan.Stations)
        {
            all.Add(One(s, Characteristic.Gap, s.GapMm, s.GapBudget, s.GapUncertaintyMm));
            all.Add(One(s, Characteristic.Flush, s.FlushMm, s.FlushBudget, s.FlushUncertaintyMm));
        }
        return all;

        Measurement One(StationSection s, Characteristic characteristic, double? value, IReadOnlyList<UncertaintyComponent> budget, double? uncertainty) => new()
        {
            Build = build,
            Door = scan.Door.Code,
            Zone = s.Station.Zone,
            Station = s.Station.Name,
            Characteristic = characteristic,
            Definition = scan.Door.DefinitionOf(characteristic),
            Stage = scan.Stage,
            Value = value,
            RawValue = value,
            Budget = budget,
            StandardUncertainty = uncertainty,
            Origin = MeasurementOrigin.Section,
            Reason = s.Reason,
        };
    }

    private static string? Field(object? value) => value switch
    {
        null => "",
        string t => t.AsSpan().IndexOfAny(",\"\n") >= 0 ? $"\"{t.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : t,
        double d => d.ToString("0.#####", CultureInfo.InvariantCulture),
        _ => Convert.ToString(value, CultureInfo.InvariantCulture),
    };

    private static double? Of(double? place, double? uncertainty) => place is null ? null : Coverage * uncertainty;

    private static object?[] Values(DoorScan scan, StationSection s) =>
    [
        scan.Door.Code, s.Station.Zone, s.Station.Name, s.GapMm, Coverage * s.GapUncertaintyMm, s.FlushMm, Coverage * s.FlushUncertaintyMm, s.SurroundEdgeMm, s.SurroundFaceMm, s.DoorEdgeMm, s.DoorFaceMm,
        s.TiltRad is double tilt ? double.RadiansToDegrees(tilt) : null, s.SurroundPoints, s.DoorPoints, s.Reason,
        Of(s.SurroundEdgeMm, s.SideUncertainty?.SurroundEdgeMm), Of(s.SurroundFaceMm, s.SideUncertainty?.SurroundFaceMm), Of(s.DoorEdgeMm, s.SideUncertainty?.DoorEdgeMm), Of(s.DoorFaceMm, s.SideUncertainty?.DoorFaceMm),
    ];
}
