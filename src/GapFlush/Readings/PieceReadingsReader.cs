using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Readings;

/// <summary>Reads a file of readings of reference pieces: <c>gauge, piece, reference, value</c>, in mm, and, where present, <c>characteristic, tolerance</c>.</summary>
public static class PieceReadingsReader
{
    private static readonly string[] Required = ["gauge", "piece", "reference", "value"], Optional = ["characteristic", "tolerance"];

    /// <summary>Every column that the reader understands, required ones first.</summary>
    public static IReadOnlyList<string> Columns { get; } = [.. Required, .. Optional];

    /// <summary>Reads the file, or says everything that is wrong with it.</summary>
    public static Outcome<IReadOnlyList<PieceReading>> Read(InputFile file)
    {
        Outcome<DelimitedTable> form = DelimitedTable.Read(file, DelimitedOptions.Any("reference", "value", "tolerance"));
        if (!form.IsUsable) return Outcome<IReadOnlyList<PieceReading>>.Refused(form.Problems, form.Notices);
        List<string> notices = [.. form.Notices];
        if (form.Value.ColumnsOtherThan(Columns) is { Count: > 0 } unknown)
            notices.Add($"{file.Name}: not understood and left aside: column{(unknown.Count > 1 ? "s" : "")} {string.Join(", ", unknown)}.");
        if (form.Value.Missing(Required) is { Count: > 0 } missing) return Outcome<IReadOnlyList<PieceReading>>.Refused(missing, notices);
        List<InputProblem> problems = [];
        List<PieceReading> readings = [];
        Dictionary<string, (double Reference, int Line)> certified = [];
        foreach (DelimitedRow row in form.Value.Rows)
        {
            int before = problems.Count;
            string? gauge = row.RequiredText("gauge", problems), piece = row.RequiredText("piece", problems);
            double? reference = row.RequiredNumber("reference", problems), value = row.RequiredNumber("value", problems), tolerance = row.Number("tolerance", problems);
            if (tolerance is <= 0) problems.Add(row.Problem("tolerance", "a width above 0, mm", "Write upper less lower limit, or leave it blank."));
            Characteristic? characteristic = row.Text("characteristic") is string code ? Characteristic.Find(code) : null;
            if (row.Text("characteristic") is not null && characteristic is null) problems.Add(row.Problem("characteristic", "a characteristic", $"Known: {string.Join(", ", Characteristic.All.Select(c => c.Code))}."));
            if (piece is not null && reference is double r && !certified.TryAdd(piece, (r, row.Line)) && certified[piece].Reference != r)
                problems.Add(row.Problem("reference", Invariant($"one certified value a piece ({certified[piece].Reference} in line {certified[piece].Line})"), "Correct the value, or name the pieces apart."));
            if (problems.Count == before) readings.Add(new(gauge!, piece!, reference!.Value, value!.Value, characteristic, tolerance, row.Line));
        }
        if (problems.Count == 0 && readings.Count == 0) problems.Add(new(file.Name, form.Value.HeaderLine, "value", "", "readings below the header", "Add a row for each reading of a piece."));
        return problems.Count > 0 ? Outcome<IReadOnlyList<PieceReading>>.Refused(problems, notices) : Outcome<IReadOnlyList<PieceReading>>.Of(readings, notices);
    }
}
