using System.Text;
using GapFlush.Decisions;
using GapFlush.Doubts;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Reports.Drawing;
using GapFlush.Reports.Inspection;
using GapFlush.Reports.Pages;
using GapFlush.Store;
using GapFlush.Workflows;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;

namespace GapFlush.Web;

/// <summary>What the page asks for: the plan, a judgement of a sheet that is being filled in, what the record holds, the entry of a sheet, the report of a build.</summary>
internal sealed class LoggingPage(FitPlan plan, string record, TimeProvider time)
{
    private const int MostValues = 20_000;

    /// <summary>Puts the answers in their places.</summary>
    public void Map(WebApplication application)
    {
        application.MapGet("/", () => Asset("page.html", "text/html; charset=utf-8"));
        application.MapGet("/page.js", () => Asset("page.js", "text/javascript; charset=utf-8"));
        application.MapGet("/page.css", () => Asset("page.css", "text/css; charset=utf-8"));
        application.MapGet("/fonts.css", () => Results.Text(FontRules.Css, "text/css; charset=utf-8"));
        application.MapGet("/plan", () => Results.Json(PagePlan.Of(plan)));
        application.MapGet("/entered", Entered);
        application.MapGet("/report", Report);
        application.MapPost("/judge", (LoggedSheet sheet) => Judge(sheet));
        application.MapPost("/readings", (LoggedSheet sheet) => Enter(sheet));
    }

    private static IResult Asset(string name, string type)
    {
        using Stream stream = typeof(LoggingPage).Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"The page lacks its part {name}.");
        using StreamReader reader = new(stream, Encoding.UTF8);
        return Results.Text(reader.ReadToEnd(), type);
    }

    // A sheet in the making: values that cannot be read are told apart, the rest is judged as if it were entered.
    private IResult Judge(LoggedSheet sheet)
    {
        if (Unfit(sheet) is string unfit) return Problem(StatusCodes.Status400BadRequest, unfit);
        Outcome<ReadingLog> read = sheet.Read(plan);
        List<object> problems = [.. Problems(read)];
        if (!read.IsUsable)
        {
            HashSet<int> bad = [.. read.Problems.Select(p => p.Line - 2)];
            IReadOnlyList<LoggedValue> good = [.. sheet.Values!.Where((_, i) => !bad.Contains(i))];
            if (good.Count == 0 || good.Count == sheet.Values!.Count) return Results.Json(new { rows = Array.Empty<object>(), doubts = Array.Empty<object>(), problems });
            read = (sheet with { Values = good }).Read(plan);
            if (!read.IsUsable) return Results.Json(new { rows = Array.Empty<object>(), doubts = Array.Empty<object>(), problems = problems.Concat(Problems(read)) });
        }
        // The serial as it was read: blanks round it are gone.
        Outcome<BuildInspection> judged = InspectBuild.Run(plan, read.Value.Builds is [string build, ..] ? build : sheet.Build!, sheet.Stage is { Length: > 0 } stage ? stage : null, [read.Value]);
        if (!judged.IsUsable) return Problem(StatusCodes.Status422UnprocessableEntity, judged.Problems[0].ToString());
        BuildInspection inspection = judged.Value;
        DoorResult door = inspection.Doors.First(d => d.Door.Code == sheet.Door);
        // What is not read yet shows on the page itself; it is no doubt while the sheet is being filled in.
        return Results.Json(new
        {
            rows = door.Rows.Where(r => r.Measurement.Station is not null && r.Measurement.Characteristic.IsRead && r.Measurement.Value is not null)
                .Select(r => new { station = r.Measurement.Station, characteristic = r.Measurement.Characteristic.Code, verdict = r.Verdict is null ? null : ResultsFile.Word(r.Verdict), reason = r.Reason }),
            doubts = inspection.Doubts.Where(d => (d.Door is null || d.Door == sheet.Door) && d.Kind != DoubtKinds.MissingStations).Select(d => new { stations = d.Stations, seen = d.Seen, todo = d.ToDo }),
            problems,
        });
    }

    private IResult Enter(LoggedSheet sheet)
    {
        if (Unfit(sheet) is string unfit) return Problem(StatusCodes.Status400BadRequest, unfit);
        if (string.IsNullOrWhiteSpace(sheet.Inspector)) return Problem(StatusCodes.Status422UnprocessableEntity, "Write who reads: the record keeps the name.");
        if (plan.Stages.Count > 1 && string.IsNullOrWhiteSpace(sheet.Stage)) return Problem(StatusCodes.Status422UnprocessableEntity, "Choose the stage: the limits hang on it.");
        if (!Enum.TryParse(sheet.SameKey ?? "ask", ignoreCase: true, out SameKey sameKey) || !Enum.IsDefined(sameKey)) return Problem(StatusCodes.Status400BadRequest, $"'{sheet.SameKey}' is no answer to what becomes of readings that are there already.");
        if (sameKey == SameKey.Replace && string.IsNullOrWhiteSpace(sheet.Why)) return Problem(StatusCodes.Status422UnprocessableEntity, "Say why the readings are corrected: the record keeps the reason.");
        Outcome<ReadingLog> read = sheet.Read(plan);
        if (!read.IsUsable) return Results.Json(new { problem = "Nothing was entered: some values cannot be read.", problems = Problems(read) }, statusCode: StatusCodes.Status422UnprocessableEntity);
        using RecordStore store = RecordStore.Open(record, mayCreate: true);
        Addition added = store.Add(read.Value, plan, new Author(sheet.Inspector.Trim(), ThisSecond(), sameKey == SameKey.Replace ? sheet.Why!.Trim() : null), sameKey);
        if (added is { File: null, Known: null, Taken.Count: > 0 } && sameKey == SameKey.Ask)
        {
            return Results.Json(new
            {
                problem = "The record already holds some of these readings.",
                taken = added.Taken.Select(t => new { station = t.New.Station, characteristic = t.New.Characteristic.Words, now = t.New.WrittenValue, before = t.Old.Reading.WrittenValue, source = t.OldSource, by = t.Old.Reading.Inspector }),
            }, statusCode: StatusCodes.Status409Conflict);
        }
        Head head = store.Head();
        return Results.Json(new { words = added.Known is RecordedFile known ? AdditionWords.Known(read.Value.Source, known) : AdditionWords.Added(read.Value.Source, added), head = head.Hash, entries = added.File?.Entries ?? 0 });
    }

    private IResult Entered(string build, string door, string? stage)
    {
        using RecordStore store = RecordStore.Open(record, mayCreate: true);
        return Results.Json(store.StandingEntries(new(Build: build, Door: door)).Where(e => string.IsNullOrEmpty(stage) || e.Reading.Stage == stage).Select(e => new
        {
            station = e.Reading.Station,
            characteristic = e.Reading.Characteristic.Code,
            value = e.Reading.WrittenValue,
            unit = e.Reading.WrittenUnit,
            by = e.Reading.Inspector,
        }));
    }

    private IResult Report(string build)
    {
        using RecordStore store = RecordStore.Open(record, mayCreate: true);
        IReadOnlyList<ReadingLog> logs = RecordedLogs.Of(store, plan, build, _ => { });
        Outcome<BuildInspection> outcome = InspectBuild.Run(plan, build, null, logs);
        if (!outcome.IsUsable) return Problem(StatusCodes.Status404NotFound, $"The record holds no readings of build '{build}' yet.");
        BuildInspection inspection = outcome.Value with { Adjustments = AdjustDoor.ForReport(outcome.Value) };
        return Results.Text(HtmlReport.Write(InspectionReport.Compose(inspection, InspectionReport.Maps(inspection))), "text/html; charset=utf-8");
    }

    private string? Unfit(LoggedSheet sheet) => string.IsNullOrWhiteSpace(sheet.Build) ? "Write the serial of the aircraft."
        : sheet.Door is null || plan.FindDoor(sheet.Door) is null ? $"The plan has no door '{sheet.Door}'."
        : sheet.Stage is { Length: > 0 } stage && plan.FindStage(stage) is null ? $"The plan has no stage '{stage}'."
        : sheet.Values is null or { Count: 0 } ? "The sheet holds no value yet."
        : sheet.Values.Count > MostValues ? Invariant($"The sheet holds more than {MostValues} values.")
        : sheet.Values.Any(v => v is null) ? "A value of the sheet is empty."
        : null;

    // Line n of the sheet as text is value n - 2 of the sheet as sent.
    private static IEnumerable<object> Problems(Outcome<ReadingLog> read) => read.Problems.Select(p => (object)new { value = p.Line - 2, column = p.Column, found = p.Found, words = $"expected {p.Expected}, found {(p.Found.Length > 0 ? $"'{p.Found}'" : "nothing")}. {p.Remedy}" });

    private static IResult Problem(int status, string words) => Results.Json(new { problem = words }, statusCode: status);

    private DateTimeOffset ThisSecond()
    {
        DateTimeOffset now = time.GetUtcNow();
        return new(now.Ticks - now.Ticks % TimeSpan.TicksPerSecond, TimeSpan.Zero);
    }
}
