using System.Text.Json;
using GapFlush.Measurements;
using GapFlush.Seals;

namespace GapFlush.Cli.Running;

/// <summary>The seal of a door as JSON.</summary>
internal static class SealJson
{
    public static void Write(Utf8JsonWriter json, DoorSeal? seal)
    {
        if (seal is null || !seal.HasSeal)
        {
            json.WriteNullValue();
            return;
        }
        json.WriteStartObject();
        Number(json, "perimeter_mm", seal.Ring.PerimeterMm);
        Number(json, "known_length_mm", seal.Ring.KnownLengthMm);
        Number(json, "mean_compression", seal.Ring.MeanPercent);
        json.WriteStartArray("stations");
        for (int i = 0; i < seal.Stations.Count; i++)
        {
            SealStation s = seal.Stations[i];
            if (!s.HasSeal) continue;
            json.WriteStartObject();
            json.WriteString("station", s.Station);
            Number(json, "along_mm", s.AlongMm);
            Number(json, "compression", s.CompressionPercent);
            Number(json, "uncertainty", seal.Compressions.FirstOrDefault(c => c.Station == s.Station)?.ExpandedUncertainty);
            Number(json, "lower", s.LeastPercent);
            Number(json, "upper", s.MostPercent);
            json.WriteBoolean("predicted", s.IsPredicted && s.CompressionPercent is not null);
            Number(json, "aged_compression", seal.AgedStations?[i].CompressionPercent);
            json.WriteEndObject();
        }
        json.WriteEndArray();
        Runs(json, "leak_runs", seal.Leaks);
        Number(json, "could_hide_mm", seal.HidingWords is null ? null : seal.Ring.WidestSpacingMm);
        json.WriteStartArray("could_hide_between");
        if (seal.Ring.WidestBetween is (string from, string to))
        {
            json.WriteStringValue(from);
            json.WriteStringValue(to);
        }
        json.WriteEndArray();
        Load(json, "closing_load_n", seal.ClosingLoad);
        Load(json, "handle_force_n", seal.HandleForce);
        Number(json, "beyond_curve_mm", seal.Ring.BeyondCurveLengthMm);
        Number(json, "aged_closing_load_n", seal.AgedRing?.ClosingLoadN);
        if (seal.AgedRing is null) json.WriteNull("aged_leak_runs");
        else Runs(json, "aged_leak_runs", seal.AgedLeaks);
        json.WriteEndObject();
    }

    private static void Runs(Utf8JsonWriter json, string name, IReadOnlyList<LeakRun> runs)
    {
        json.WriteStartArray(name);
        foreach (LeakRun run in runs)
        {
            json.WriteStartObject();
            Number(json, "from_mm", run.Run.FromMm);
            Number(json, "to_mm", run.Run.ToMm);
            Number(json, "length_mm", run.Run.LengthMm);
            json.WriteString("from", run.From);
            json.WriteString("to", run.To);
            Number(json, "least_compression", run.Run.ExtremePercent);
            json.WriteString("least_at", run.LeastAt);
            Texts("stations", run.Stations);
            Texts("zones", run.Zones);
            Number(json, "proven_mm", run.ProvenMm);
            Number(json, "possible_mm", run.PossibleMm);
            json.WriteBoolean("predicted", run.IsPredicted);
            json.WriteBoolean("path", run.IsPath);
            json.WriteEndObject();
        }
        json.WriteEndArray();

        void Texts(string key, IReadOnlyList<string> texts)
        {
            json.WriteStartArray(key);
            foreach (string text in texts) json.WriteStringValue(text);
            json.WriteEndArray();
        }
    }

    private static void Load(Utf8JsonWriter json, string name, Measurement load)
    {
        Number(json, name, load.Value);
        Number(json, name + "_uncertainty", load.ExpandedUncertainty);
    }

    private static void Number(Utf8JsonWriter json, string name, double? value)
    {
        if (value is double number) json.WriteNumber(name, Math.Round(number, 6));
        else json.WriteNull(name);
    }
}
