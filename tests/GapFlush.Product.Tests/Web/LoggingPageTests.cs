using GapFlush.Store;
using Microsoft.Playwright;

namespace GapFlush.Product.Tests.Web;

/// <summary>The logging page as an inspector meets it, in a real browser.</summary>
public class LoggingPageTests(Browser browser) : IClassFixture<Browser>
{
    [Fact]
    public async Task An_inspector_types_round_the_door_sees_the_verdict_and_enters_the_sheet()
    {
        List<string> faults = [];
        await using Served served = await Served.Start();
        IPage page = await browser.NewPage(faults: faults);
        await Open(page, served);
        await Cell(page, "gap", "14").FillAsync("5,35");
        await Cell(page, "gap", "14").PressAsync("Enter");
        // Enter goes to the next station of the same column.
        Assert.Equal("gap at station 15", await page.EvaluateAsync<string>("document.activeElement.getAttribute('aria-label')"));
        await page.Keyboard.TypeAsync("4.70");
        await Assertions.Expect(Verdict(page, "gap", "14")).ToContainTextAsync("outside: 0.3");
        await Assertions.Expect(Verdict(page, "gap", "14").Locator("svg")).ToHaveCountAsync(1);
        await Assertions.Expect(Verdict(page, "gap", "15")).ToContainTextAsync("within");
        await Assertions.Expect(page.Locator("#count")).ToContainTextAsync("2 of them not yet in the record. 1 outside");
        await page.Locator("#enter").ClickAsync();
        await Assertions.Expect(page.Locator("#message")).ToContainTextAsync("added as file 1, 2 readings");
        Assert.Equal([("14", 5.35, "R. Sedge"), ("15", 4.70, "R. Sedge")], served.Entries().Select(e => (e.Reading.Station, e.Reading.Value, e.Reading.Inspector)));
        Assert.Equal("5.35", await Cell(page, "gap", "14").GetAttributeAsync("placeholder"));
        await Assertions.Expect(page.Locator("#enter")).ToBeDisabledAsync();
        await Assertions.Expect(page.Locator("#report")).ToBeVisibleAsync();
        Assert.Empty(faults);
    }

    [Fact]
    public async Task What_is_typed_outlives_a_closed_page_and_a_lost_server()
    {
        List<string> faults = [];
        await using Served served = await Served.Start();
        IPage page = await browser.NewPage(faults: faults);
        await Open(page, served);
        await Cell(page, "gap", "3").FillAsync("4.65");
        await page.ReloadAsync();
        await Assertions.Expect(Cell(page, "gap", "3")).ToHaveValueAsync("4.65");
        await served.Stop();
        await page.Locator("#enter").ClickAsync();
        await Assertions.Expect(page.Locator("#message")).ToContainTextAsync("The server is not reached. What you typed is kept in this browser");
        await Assertions.Expect(Cell(page, "gap", "3")).ToHaveValueAsync("4.65");
        await served.Resume();
        await page.Locator("#enter").ClickAsync();
        await Assertions.Expect(page.Locator("#message")).ToContainTextAsync("added as file 1, 1 reading");
        Assert.Equal(4.65, Assert.Single(served.Entries()).Reading.Value);
        Assert.Empty(faults);
    }

    [Fact]
    public async Task A_reading_that_is_there_already_is_corrected_with_a_reason()
    {
        await using Served served = await Served.Start();
        IPage page = await browser.NewPage();
        await Open(page, served);
        foreach (string value in (string[])["4.65", "4.75"])
        {
            await Cell(page, "gap", "3").FillAsync(value);
            await page.Locator("#enter").ClickAsync();
            if (value == "4.65") await Assertions.Expect(page.Locator("#message")).ToContainTextAsync("added as file 1");
        }
        await Assertions.Expect(page.Locator("#taken-list")).ToContainTextAsync("Station 3, gap: 4.75 now, 4.65 in");
        await page.Locator("#replace").ClickAsync();
        Assert.True(await page.Locator("#taken").IsVisibleAsync(), "without a reason the question stays");
        await page.Locator("#why").FillAsync("misread");
        await page.Locator("#replace").ClickAsync();
        await Assertions.Expect(page.Locator("#message")).ToContainTextAsync("1 correcting");
        Assert.Equal(4.75, Assert.Single(served.Entries()).Reading.Value);
        using RecordStore store = RecordStore.Open(served.RecordPath, mayCreate: false);
        Assert.Equal("misread", store.Files()[^1].Why);
    }

    [Fact]
    public async Task A_value_that_cannot_be_read_is_marked_in_its_place()
    {
        await using Served served = await Served.Start();
        IPage page = await browser.NewPage();
        await Open(page, served);
        await Cell(page, "gap", "3").FillAsync("4.6.5");
        await Assertions.Expect(Cell(page, "gap", "3")).ToHaveAttributeAsync("aria-invalid", "true");
        await page.Locator("#enter").ClickAsync();
        await Assertions.Expect(page.Locator("#message")).ToContainTextAsync("Nothing was entered");
        await Assertions.Expect(Verdict(page, "gap", "3")).ToContainTextAsync("found '4.6.5'");
        Assert.Empty(served.Entries());
    }

    [Theory]
    [InlineData(1280, 900)]
    [InlineData(768, 1024)]
    [InlineData(390, 844)]
    public async Task The_page_fits_screens_of_all_sizes_and_fingers_find_their_place(int width, int height)
    {
        await using Served served = await Served.Start();
        IPage page = await browser.NewPage(width, height);
        await Open(page, served);
        Assert.True(await page.EvaluateAsync<bool>("document.documentElement.scrollWidth <= window.innerWidth"), "the page scrolls sideways");
        // 40 px is about the 9 mm a finger needs (common practice, no source).
        Assert.True(await page.EvaluateAsync<double>("Math.min(...[...document.querySelectorAll('td input, form input, form select, #enter')].map(n => n.getBoundingClientRect().height))") >= 40, "a field is too low for a finger");
        Assert.True(await page.EvaluateAsync<double>("Math.min(...[...document.querySelectorAll('body *')].filter(n => n.childElementCount === 0 && n.textContent.trim() && !n.closest('svg')).map(n => parseFloat(getComputedStyle(n).fontSize)))") >= 14, "lettering is too small");
        if (Environment.GetEnvironmentVariable("GAPFLUSH_PICTURES") is { Length: > 0 } folder)
        {
            await Cell(page, "gap", "14").FillAsync("5.35");
            await Cell(page, "gap", "12").FillAsync("4.95");
            await Cell(page, "flush", "14").FillAsync("0.10");
            await Assertions.Expect(Verdict(page, "gap", "14")).ToContainTextAsync("outside");
            await Cell(page, "gap", "15").FocusAsync();
            await page.EvaluateAsync("document.activeElement.scrollIntoView({ block: 'center' })");
            await page.ScreenshotAsync(new() { Path = Path.Combine(folder, Invariant($"logging-{width}.png")) });
        }
    }

    private static async Task Open(IPage page, Served served)
    {
        await page.GotoAsync(served.Address.ToString());
        await page.Locator("#build").FillAsync("D4-017");
        await page.Locator("#build").DispatchEventAsync("change");
        await page.Locator("#door").SelectOptionAsync("P1");
        await page.Locator("#stage").SelectOptionAsync("trial-fit");
        await page.Locator("#inspector").FillAsync("R. Sedge");
        await page.Locator("#temperature").FillAsync("20");
        await page.Locator("[data-gauge=gap]").SelectOptionAsync("TG-11");
        await Assertions.Expect(Cell(page, "gap", "1")).ToBeVisibleAsync();
    }

    private static ILocator Cell(IPage page, string characteristic, string station) => page.GetByLabel($"{characteristic} at station {station}", new() { Exact = true });

    private static ILocator Verdict(IPage page, string characteristic, string station) => Cell(page, characteristic, station).Locator("xpath=following-sibling::span");
}
