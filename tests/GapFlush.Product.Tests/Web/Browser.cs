using Microsoft.Playwright;

namespace GapFlush.Product.Tests.Web;

/// <summary>A real browser, found on the PATH. Without one the tests fail: a page that was not tried in a browser was not tried.</summary>
public sealed class Browser : IAsyncLifetime
{
    private static readonly string[] Names = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"];
    private IPlaywright? _playwright;
    private IBrowser? _browser;

    public async ValueTask InitializeAsync()
    {
        string[] folders = (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries);
        string program = Names.SelectMany(n => folders.Select(f => Path.Combine(f, n))).FirstOrDefault(File.Exists)
            ?? throw new FileNotFoundException($"No browser ({string.Join(", ", Names)}) is on the PATH; tests/run installs one.");
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new()
        {
            ExecutablePath = program,
            Headless = true,
            Args = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
        });
    }

    /// <summary>A fresh page with a memory of its own; what goes wrong in its script fails the test at the end.</summary>
    public async Task<IPage> NewPage(int width = 1280, int height = 900, List<string>? faults = null)
    {
        IBrowserContext context = await _browser!.NewContextAsync(new() { ViewportSize = new() { Width = width, Height = height } });
        IPage page = await context.NewPageAsync();
        page.SetDefaultTimeout(20_000);
        page.PageError += (_, fault) => faults?.Add(fault);
        return page;
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null) await _browser.DisposeAsync();
        _playwright?.Dispose();
    }
}
