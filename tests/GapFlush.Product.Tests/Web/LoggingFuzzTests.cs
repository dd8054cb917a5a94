using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using GapFlush.Store;
using GapFlush.Tests.Inputs;

namespace GapFlush.Product.Tests.Web;

/// <summary>Whatever is sent to the logging page gets an answer in words, and the record stays whole. GAPFLUSH_FUZZ sets how many changed sheets are sent.</summary>
public class LoggingFuzzTests
{
    private static readonly int Each = int.TryParse(Environment.GetEnvironmentVariable("GAPFLUSH_FUZZ"), out int asked) ? asked : 300;

    private static readonly HttpStatusCode[] Expected =
        [HttpStatusCode.OK, HttpStatusCode.BadRequest, HttpStatusCode.Conflict, HttpStatusCode.UnprocessableEntity];

    [Theory]
    [InlineData("judge")]
    [InlineData("readings")]
    public async Task A_changed_sheet_is_answered_in_words(string path)
    {
        await using Served served = await Served.Start();
        byte[] whole = Encoding.UTF8.GetBytes(JsonSerializer.Serialize(new
        {
            build = "D4-017",
            door = "P1",
            stage = "trial-fit",
            inspector = "A. Teal",
            unit = "mm",
            temperatureC = "18,5",
            sameKey = "replace",
            why = "read again",
            values = new[]
            {
                new { station = "14", characteristic = "gap", value = "5.35", gauge = "TG-11", takenAt = "2026-03-11T13:19:02Z", note = "at the hinge" },
                new { station = "15", characteristic = "gap", value = "5,55", gauge = "TG-11", takenAt = "2026-03-11T13:19:20Z", note = "" },
                new { station = "14", characteristic = "flush", value = "-0.10", gauge = "TG-12", takenAt = "2026-03-11T13:20:02Z", note = "" },
            },
        }));
        Dictionary<HttpStatusCode, int> seen = [];
        Assert.Equal(HttpStatusCode.OK, await Send(whole));
        for (int k = 0; k < Each; k++)
        {
            byte[] changed = ChangedText.Of(whole, new((ulong)k + 1));
            HttpStatusCode status = await Send(changed);
            seen[status] = seen.GetValueOrDefault(status) + 1;
        }
        Assert.True(seen.GetValueOrDefault(HttpStatusCode.OK) > 0 && seen.Count > 1, $"the changes try too little: {string.Join(", ", seen)}");
        if (path != "readings") return;
        using RecordStore store = RecordStore.Open(served.RecordPath, mayCreate: false);
        Assert.NotEmpty(store.StandingEntries());
        Assert.Empty(store.Verify().Findings);

        async Task<HttpStatusCode> Send(byte[] bytes)
        {
            using ByteArrayContent sheet = new(bytes);
            sheet.Headers.ContentType = new MediaTypeHeaderValue("application/json");
            using HttpResponseMessage answer = await served.Http.PostAsync(path, sheet, TestContext.Current.CancellationToken);
            string said = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), what = $"{answer.StatusCode} {said}\n{Encoding.UTF8.GetString(bytes)}";
            Assert.True(Expected.Contains(answer.StatusCode), what);
            if (answer.StatusCode == HttpStatusCode.OK) return answer.StatusCode;
            string? words = JsonDocument.Parse(said).RootElement.TryGetProperty("problem", out JsonElement problem) ? problem.GetString() : null;
            Assert.True(words is { Length: > 10 } && !words.Contains("Exception", StringComparison.Ordinal) && !words.Contains("   at ", StringComparison.Ordinal), what);
            return answer.StatusCode;
        }
    }
}
