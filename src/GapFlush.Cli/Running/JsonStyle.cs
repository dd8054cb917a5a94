using System.Text.Encodings.Web;
using System.Text.Json;

namespace GapFlush.Cli.Running;

/// <summary>How JSON is written: indented, with letters beyond ASCII as they are.</summary>
internal static class JsonStyle
{
    public static readonly JsonWriterOptions Indented = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };
}
