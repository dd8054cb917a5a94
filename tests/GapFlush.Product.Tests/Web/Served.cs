using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Product.Tests.Commands;
using GapFlush.Store;
using GapFlush.Tests;
using GapFlush.Web;

namespace GapFlush.Product.Tests.Web;

/// <summary>The page served for the demo plan, over a record of its own, on a free port of this machine.</summary>
internal sealed class Served : IAsyncDisposable
{
    private readonly ScratchFolder _folder = new();
    private LoggingServer _server = null!;

    private Served()
    {
    }

    public Uri Address => _server.Address;

    public HttpClient Http { get; private set; } = null!;

    public string RecordPath => _folder.At("record.sqlite");

    public static async Task<Served> Start()
    {
        Served served = new();
        await served.Begin(0);
        return served;
    }

    /// <summary>Ends serving, as when the machine goes down; what the browser holds stays.</summary>
    public async Task Stop() => await _server.DisposeAsync();

    /// <summary>Serves again on the same port.</summary>
    public Task Resume() => Begin(Address.Port);

    public IReadOnlyList<Entry> Entries()
    {
        using RecordStore store = RecordStore.Open(RecordPath, mayCreate: false);
        return store.StandingEntries();
    }

    public async Task<(HttpStatusCode Status, JsonElement Content)> Post(string path, object body)
    {
        using HttpResponseMessage answer = await Http.PostAsJsonAsync(path, body, TestContext.Current.CancellationToken);
        return (answer.StatusCode, await answer.Content.ReadFromJsonAsync<JsonElement>(TestContext.Current.CancellationToken));
    }

    public async ValueTask DisposeAsync()
    {
        Http.Dispose();
        await _server.DisposeAsync();
        _folder.Dispose();
    }

    private async Task Begin(int port)
    {
        FitPlan plan = PlanReader.Read([.. Directory.EnumerateFiles(Fixture.At("dabchick")).Select(f => new InputFile(Path.GetFileName(f), () => File.OpenRead(f)))]).Value;
        _server = await LoggingServer.Start(plan, RecordPath, new IPEndPoint(IPAddress.Loopback, port), TimeProvider.System);
        Http?.Dispose();
        Http = new HttpClient { BaseAddress = _server.Address };
    }
}
