using System.Text.Encodings.Web;
using System.Text.Json;

namespace GapFlush.Inputs;

/// <summary>How every JSON file and answer is written: indented, lines ended by LF, letters beyond ASCII as they are.</summary>
public static class JsonForm
{
    /// <summary>For a writer.</summary>
    public static JsonWriterOptions Indented { get; } = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>For a serializer.</summary>
    public static JsonSerializerOptions Serializer { get; } = new() { WriteIndented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };
}
