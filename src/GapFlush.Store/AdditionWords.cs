namespace GapFlush.Store;

/// <summary>What came of adding a file to the record, in words.</summary>
public static class AdditionWords
{
    private const int MostShown = 5;

    /// <summary>It was added.</summary>
    public static string Added(string source, Addition added) => added.File is RecordedFile file
        ? Invariant($"{source}: added as file {file.Number}, {Count(file.Entries, "reading")}{More(added.Corrected, "correcting")}{More(added.Repeated, "as further repeats")}{More(added.LeftOut, "left out because they were there word for word")}.")
        : $"{source}: nothing to add; the record holds every reading word for word.";

    /// <summary>It was there already.</summary>
    public static string Known(string source, RecordedFile known) => Invariant($"{source}: already in the record, byte for byte, as file {known.Number} ({known.Name}), added by {known.AddedBy} on {known.AddedAt:yyyy-MM-dd}. Nothing was added.");

    /// <summary>Some of its keys are taken.</summary>
    public static string Taken(string source, IReadOnlyList<KeyTaken> taken)
    {
        string shown = string.Join("; ", taken.Take(MostShown).Select(t => Invariant(
            $"line {t.New.Line}: {t.New.Build} {t.New.Door} {t.New.Station} {t.New.Characteristic.Words} is {t.New.WrittenValue} {t.New.WrittenUnit} here and {t.Old.Reading.WrittenValue} {t.Old.Reading.WrittenUnit} in {t.OldSource}, line {t.Old.Reading.Line}")));
        string more = taken.Count > MostShown ? Invariant($"; and {taken.Count - MostShown} more") : "";
        return $"{source}: {Count(taken.Count, "reading")} of a build, door, station, characteristic, stage, definition and repeat that the record already holds: {shown}{more}. Nothing was added.";
    }

    private static string More(int count, string words) => count > 0 ? Invariant($", {count} {words}") : "";

    private static string Count(long count, string noun) => Invariant($"{count} {noun}{(count == 1 ? "" : "s")}");
}
