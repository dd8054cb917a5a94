namespace GapFlush.Plan;

/// <summary>The JSON Schema (draft 2020-12) of <c>plan.json</c>, for editors and for programs that write plans.</summary>
/// <remarks>It checks one key at a time; what refers to other keys or other files is checked by <see cref="PlanReader"/> only.</remarks>
public static class PlanSchema
{
    /// <summary>The schema as JSON text.</summary>
    public static string Text { get; } = ReadText();

    private static string ReadText()
    {
        using Stream stream = typeof(PlanSchema).Assembly.GetManifestResourceStream("plan.schema.json")!;
        using StreamReader reader = new(stream);
        return reader.ReadToEnd();
    }
}
