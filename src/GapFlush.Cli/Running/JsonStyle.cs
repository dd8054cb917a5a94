using System.Text.Json;
using GapFlush.Inputs;

namespace GapFlush.Cli.Running;

/// <summary>How JSON is written: indented, with letters beyond ASCII as they are.</summary>
internal static class JsonStyle
{
    public static readonly JsonWriterOptions Indented = JsonForm.Indented;
}
