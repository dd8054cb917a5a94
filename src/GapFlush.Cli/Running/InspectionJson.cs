using System.Text;
using System.Text.Json;
using GapFlush.Decisions;
using GapFlush.Doubts;
using GapFlush.Hanging;
using GapFlush.Seals;
using GapFlush.Workflows;

namespace GapFlush.Cli.Running;

/// <summary>An inspection as JSON on standard output.</summary>
internal static class InspectionJson
{
    public static void Write(TextWriter output, BuildInspection inspection)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream, JsonStyle.Indented))
        {
            json.WriteStartObject();
            json.WriteString("build", inspection.Build);
            json.WriteString("verdict", Word(inspection.Verdict.Verdict));
            json.WriteStartArray("doors");
            foreach (DoorResult door in inspection.Doors) Door(json, door, inspection.SealOf(door.Door.Code));
            json.WriteEndArray();
            json.WritePropertyName("doubts");
            Doubts(json, inspection.Doubts);
            if (inspection.Drainage is DrainResult drains)
            {
                json.WritePropertyName("drains");
                DrainOutput.WriteJson(json, drains);
            }
            json.WritePropertyName("rows");
            ResultsFile.WriteJson(json, inspection.Rows);
            json.WriteEndObject();
        }
        output.WriteLine(Encoding.UTF8.GetString(stream.ToArray()));
    }

    /// <summary>Doubts as a JSON array.</summary>
    public static void Doubts(Utf8JsonWriter json, IEnumerable<Doubt> doubts)
    {
        json.WriteStartArray();
        foreach (Doubt doubt in doubts)
        {
            json.WriteStartObject();
            json.WriteString("kind", doubt.Kind);
            json.WriteString("door", doubt.Door);
            json.WriteStartArray("stations");
            foreach (string station in doubt.Stations) json.WriteStringValue(station);
            json.WriteEndArray();
            json.WriteString("seen", doubt.Seen);
            json.WriteString("to_do", doubt.ToDo);
            json.WriteString("source", doubt.Source);
            if (doubt.Line > 0) json.WriteNumber("line", doubt.Line);
            else json.WriteNull("line");
            json.WriteEndObject();
        }
        json.WriteEndArray();
    }

    /// <summary>The word for the verdict of a door or build.</summary>
    public static string Word(FitVerdict verdict) => verdict switch
    {
        FitVerdict.Within => "within",
        FitVerdict.Undecided => "undecided",
        FitVerdict.Outside => "outside",
        _ => "not judged",
    };

    private static void Door(Utf8JsonWriter json, DoorResult door, DoorSeal? seal)
    {
        json.WriteStartObject();
        json.WriteString("door", door.Door.Code);
        json.WriteString("stage", door.Stage);
        json.WriteString("verdict", Word(door.Verdict));
        json.WriteNumber("within", door.Counts.Within);
        json.WriteNumber("undecided", door.Counts.Undecided);
        json.WriteNumber("outside", door.Counts.Outside);
        json.WriteNumber("missing", door.Counts.Missing);
        json.WriteBoolean("data_complete", door.Data.IsComplete);
        json.WriteBoolean("data_plausible", door.Data.IsPlausible);
        json.WriteBoolean("data_identified", door.Data.IsIdentified);
        json.WritePropertyName("displacement");
        Displacement(json, door.Displacement.Preferred);
        json.WritePropertyName("seal");
        SealJson.Write(json, seal);
        json.WriteEndObject();
    }

    private static void Displacement(Utf8JsonWriter json, DoorDisplacement? fit)
    {
        if (fit is null)
        {
            json.WriteNullValue();
            return;
        }
        json.WriteStartObject();
        json.WriteNumber("rank", fit.Rank);
        Three("translation_mm", 0, 1, m => m.Value);
        Three("translation_u95_mm", 0, 1, Half);
        Three("rotation_mrad", 3, 1000, m => m.Value);
        Three("rotation_u95_mrad", 3, 1000, Half);
        json.WriteNumber("rms_before_mm", fit.RmsBeforeMm);
        json.WriteNumber("rms_after_mm", fit.RmsAfterMm);
        json.WriteEndObject();

        void Three(string name, int first, double scale, Func<Movement, double?> part)
        {
            json.WriteStartArray(name);
            for (int i = first; i < first + 3; i++)
            {
                if (part(fit.Movements[i]) is double value) json.WriteNumberValue(Math.Round(value * scale, 6));
                else json.WriteNullValue();
            }
            json.WriteEndArray();
        }

        static double? Half(Movement m) => (m.Upper95 - m.Lower95) / 2;
    }
}
