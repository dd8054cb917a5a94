using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Text.Json;
using GapFlush.Product.Tests.Commands;
using GapFlush.Store;
using GapFlush.Tests;

namespace GapFlush.Product.Tests.Web;

public class LoggingServerTests
{
    [Fact]
    public async Task A_sheet_goes_into_the_record_whole_with_name_gauge_time_and_plan_issue()
    {
        await using Served served = await Served.Start();
        (HttpStatusCode status, JsonElement content) = await served.Post("readings", Sheet([("14", "gap", "5,35"), ("15", "gap", "5.55"), ("14", "flush", "-0.10")]));
        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Equal(3, content.GetProperty("entries").GetInt32());
        IReadOnlyList<Entry> entries = served.Entries();
        Assert.Equal([("14", "gap", 5.35), ("15", "gap", 5.55), ("14", "flush", -0.10)], entries.Select(e => (e.Reading.Station, e.Reading.Characteristic.Code, e.Reading.Value)));
        Assert.All(entries, e => Assert.Equal(("D4-017", "P1", "trial-fit", "A. Teal", "TG-11", "C", 18.5), (e.Reading.Build, e.Reading.Door, e.Reading.Stage, e.Reading.Inspector, e.Reading.Gauge, e.Reading.PlanIssue, e.Reading.TemperatureC)));
        Assert.All(entries, e => Assert.Equal(new DateTimeOffset(2026, 3, 11, 13, 19, 2, TimeSpan.Zero), e.Reading.TakenAt));
        using RecordStore store = RecordStore.Open(served.RecordPath, mayCreate: false);
        Assert.Empty(store.Verify().Findings);
    }

    [Fact]
    public async Task A_value_that_cannot_be_read_is_named_and_nothing_is_entered()
    {
        await using Served served = await Served.Start();
        (HttpStatusCode status, JsonElement content) = await served.Post("readings", Sheet([("14", "gap", "5.35"), ("15", "gap", "5.5.5")]));
        Assert.Equal(HttpStatusCode.UnprocessableEntity, status);
        JsonElement problem = Assert.Single(content.GetProperty("problems").EnumerateArray());
        Assert.Equal((1, "value", "5.5.5"), (problem.GetProperty("value").GetInt32(), problem.GetProperty("column").GetString(), problem.GetProperty("found").GetString()));
        Assert.Empty(served.Entries());
    }

    [Fact]
    public async Task Readings_that_are_there_already_ask_for_correction_with_a_reason_or_repeat()
    {
        await using Served served = await Served.Start();
        await served.Post("readings", Sheet([("14", "gap", "5.35")]));
        (HttpStatusCode asked, JsonElement taken) = await served.Post("readings", Sheet([("14", "gap", "5.25"), ("15", "gap", "5.30")]));
        Assert.Equal(HttpStatusCode.Conflict, asked);
        JsonElement clash = Assert.Single(taken.GetProperty("taken").EnumerateArray());
        Assert.Equal(("14", "5.25", "5.35"), (clash.GetProperty("station").GetString(), clash.GetProperty("now").GetString(), clash.GetProperty("before").GetString()));
        Assert.Single(served.Entries());
        Assert.Equal(HttpStatusCode.UnprocessableEntity, (await served.Post("readings", Sheet([("14", "gap", "5.25")], sameKey: "replace"))).Status);
        Assert.Equal(HttpStatusCode.OK, (await served.Post("readings", Sheet([("14", "gap", "5.25")], sameKey: "replace", why: "misread"))).Status);
        Assert.Equal(5.25, Assert.Single(served.Entries()).Reading.Value);
        Assert.Equal(HttpStatusCode.OK, (await served.Post("readings", Sheet([("14", "gap", "5.20")], sameKey: "repeat"))).Status);
        Assert.Equal([5.25, 5.20], served.Entries().Select(e => e.Reading.Value));
    }

    [Fact]
    public async Task The_same_sheet_sent_twice_is_entered_once()
    {
        await using Served served = await Served.Start();
        object sheet = Sheet([("14", "gap", "5.35")]);
        await served.Post("readings", sheet);
        (HttpStatusCode status, JsonElement content) = await served.Post("readings", sheet);
        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Contains("already in the record", content.GetProperty("words").GetString(), StringComparison.Ordinal);
        Assert.Single(served.Entries());
    }

    [Fact]
    public async Task Judging_tells_the_verdict_of_what_can_be_read_and_enters_nothing()
    {
        await using Served served = await Served.Start();
        (HttpStatusCode status, JsonElement content) = await served.Post("judge", Sheet([("14", "gap", "5.35"), ("15", "gap", "five"), ("20", "gap", "4.70")]));
        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Equal([("14", "outside"), ("20", "within")], content.GetProperty("rows").EnumerateArray().Select(r => (r.GetProperty("station").GetString(), r.GetProperty("verdict").GetString())));
        Assert.Equal(1, Assert.Single(content.GetProperty("problems").EnumerateArray()).GetProperty("value").GetInt32());
        Assert.Empty(served.Entries());
    }

    // As the page sends it before a stage is chosen, and with blanks round the serial.
    [Fact]
    public async Task A_sheet_without_a_stage_is_judged_too()
    {
        await using Served served = await Served.Start();
        object[] values = [new { station = "14", characteristic = "gap", value = "5.35" }];
        (HttpStatusCode status, JsonElement content) = await served.Post("judge", new { build = " D4-017 ", door = "P1", stage = "", inspector = "A. Teal", values });
        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Equal("14", Assert.Single(content.GetProperty("rows").EnumerateArray()).GetProperty("station").GetString());
    }

    [Fact]
    public async Task The_page_never_gives_the_limits_away()
    {
        await using Served served = await Served.Start();
        JsonElement plan = JsonDocument.Parse(await served.Http.GetStringAsync("plan", TestContext.Current.CancellationToken)).RootElement;
        Assert.Equal(["P1", "S1", "B1"], plan.GetProperty("doors").EnumerateArray().Select(d => d.GetProperty("code").GetString()));
        Assert.DoesNotContain("limit", plan.ToString(), StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task The_report_of_a_build_is_that_of_the_record()
    {
        await using Served served = await Served.Start();
        Assert.Equal(HttpStatusCode.NotFound, (await served.Http.GetAsync(new Uri("report?build=D4-017", UriKind.Relative), TestContext.Current.CancellationToken)).StatusCode);
        await served.Post("readings", Sheet([("14", "gap", "5.35")]));
        string report = await served.Http.GetStringAsync("report?build=D4-017", TestContext.Current.CancellationToken);
        Assert.Contains("Dabchick D4 build D4-017: door fit", report, StringComparison.Ordinal);
        Assert.Contains("0.35 above the upper limit", report.Replace("0.36", "0.35", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Host", "shop.example", HttpStatusCode.Forbidden)]
    [InlineData("Origin", "http://elsewhere.example", HttpStatusCode.Forbidden)]
    [InlineData("Origin", "null", HttpStatusCode.Forbidden)]
    public async Task Other_pages_cannot_enter_readings(string header, string value, HttpStatusCode expected)
    {
        await using Served served = await Served.Start();
        using HttpRequestMessage request = new(HttpMethod.Post, "readings") { Content = new StringContent(JsonSerializer.Serialize(Sheet([("14", "gap", "5.35")])), Encoding.UTF8, "application/json") };
        request.Headers.TryAddWithoutValidation(header, value);
        Assert.Equal(expected, (await served.Http.SendAsync(request, TestContext.Current.CancellationToken)).StatusCode);
        Assert.Empty(served.Entries());
    }

    [Theory]
    [InlineData("text/plain", "{}", HttpStatusCode.UnsupportedMediaType)]
    [InlineData("application/json", "{", HttpStatusCode.BadRequest)]
    [InlineData("application/json", "{\"build\":\"D4-017\",\"door\":\"Z9\",\"values\":[{\"station\":\"1\",\"characteristic\":\"gap\",\"value\":\"5\"}]}", HttpStatusCode.BadRequest)]
    [InlineData("application/json", "{\"build\":\"D4-017\",\"door\":\"P1\",\"values\":[]}", HttpStatusCode.BadRequest)]
    [InlineData("application/json", "{\"build\":\"D4-017\",\"door\":\"P1\",\"values\":[null]}", HttpStatusCode.BadRequest)]
    [InlineData("application/json", "{\"build\":\"D4-017\",\"door\":\"P1\",\"inspector\":\"A\",\"values\":[{\"station\":\"1\",\"characteristic\":\"gap\",\"value\":\"5\"}]}", HttpStatusCode.UnprocessableEntity)]
    public async Task What_the_page_does_not_send_is_refused_in_words(string type, string body, HttpStatusCode expected)
    {
        await using Served served = await Served.Start();
        using HttpResponseMessage answer = await served.Http.PostAsync(new Uri("readings", UriKind.Relative), new StringContent(body, Encoding.UTF8, type), TestContext.Current.CancellationToken);
        Assert.Equal(expected, answer.StatusCode);
        using JsonDocument words = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        Assert.NotEqual("", words.RootElement.GetProperty("problem").GetString());
        Assert.Empty(served.Entries());
    }

    [Fact]
    public async Task A_sheet_beyond_a_megabyte_is_refused()
    {
        await using Served served = await Served.Start();
        using HttpResponseMessage answer = await served.Http.PostAsync(new Uri("readings", UriKind.Relative), new StringContent("{\"build\":\"" + new string('x', 1_100_000) + "\"}", Encoding.UTF8, "application/json"), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.RequestEntityTooLarge, answer.StatusCode);
    }

    [Fact]
    public async Task Two_inspectors_at_once_lose_nothing()
    {
        await using Served served = await Served.Start();
        (HttpStatusCode Status, JsonElement)[] answers = await Task.WhenAll(Enumerable.Range(1, 30).Select(i => served.Post("readings", Sheet([(Invariant($"{i}"), "gap", "4.70")]))));
        Assert.All(answers, a => Assert.Equal(HttpStatusCode.OK, a.Status));
        Assert.Equal(30, served.Entries().Count);
    }

    [Theory]
    [InlineData("8620", "expected an address and a port")]
    [InlineData("127.0.0.1", "expected an address and a port")]
    [InlineData("shop:80", "expected an address and a port")]
    [InlineData("127.0.0.1:99999", "expected an address and a port")]
    [InlineData("203.0.113.7:0", "cannot serve on 203.0.113.7:0")]
    public async Task An_address_that_cannot_be_served_is_refused(string listen, string words)
    {
        using ScratchFolder scratch = new();
        CommandRun run = await CommandRun.Of("serve", Fixture.At("dabchick"), "--record", scratch.At("r.sqlite"), "--listen", listen);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(words, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_port_that_is_taken_is_named()
    {
        using TcpListener other = new(IPAddress.Loopback, 0);
        other.Start();
        using ScratchFolder scratch = new();
        string listen = other.LocalEndpoint.ToString()!;
        CommandRun run = await CommandRun.Of("serve", Fixture.At("dabchick"), "--record", scratch.At("r.sqlite"), "--listen", listen);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains($"cannot serve on {listen}", run.Error, StringComparison.Ordinal);
    }

    private static object Sheet((string Station, string Characteristic, string Value)[] values, string? sameKey = null, string? why = null) => new
    {
        build = "D4-017",
        door = "P1",
        stage = "trial-fit",
        inspector = "A. Teal",
        unit = "mm",
        temperatureC = "18,5",
        sameKey,
        why,
        values = values.Select(v => new { station = v.Station, characteristic = v.Characteristic, value = v.Value, gauge = "TG-11", takenAt = "2026-03-11T13:19:02Z" }),
    };
}
