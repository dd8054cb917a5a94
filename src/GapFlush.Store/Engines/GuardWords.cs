namespace GapFlush.Store.Engines;

/// <summary>What is wrong with a part of the schema, and what follows from it.</summary>
internal static class GuardWords
{
    /// <summary>The finding in words.</summary>
    /// <param name="kind">What it is: trigger, function, rule, table, check, key, index, view.</param>
    /// <param name="name">Its name.</param>
    /// <param name="what">"is missing", "is switched off", ...</param>
    public static string Of(string kind, string name, string what) => $"{kind} {name} {what}: {kind switch
    {
        "view" => "whoever queries the record past GapFlush may be shown other rows than those that stand",
        "index" => "the rows are as they were, but looking them up takes longer",
        "check" or "key" or "table" => "rows that the record would refuse could be put in past GapFlush",
        _ => "rows could be changed or deleted without a trace in the database",
    }}";
}
