using System.Net;
using GapFlush.Plan;
using GapFlush.Store;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace GapFlush.Web;

/// <summary>Serves the page on which inspectors log readings. What they enter goes into the record and nowhere else.</summary>
/// <remarks>There is no login and no encryption: who can reach the address can enter readings under any name. It therefore listens on this machine alone unless told otherwise.</remarks>
public sealed class LoggingServer : IAsyncDisposable
{
    private const long LargestSheetBytes = 1_000_000;
    private readonly WebApplication _application;

    private LoggingServer(WebApplication application, Uri address) => (_application, Address) = (application, address);

    /// <summary>Where the page is.</summary>
    public Uri Address { get; }

    /// <summary>Starts serving.</summary>
    /// <param name="plan">The fit plan.</param>
    /// <param name="record">Address of the record; it is made where there is none.</param>
    /// <param name="listen">Address and port; port 0 takes a free one.</param>
    /// <param name="time">The clock that entries are stamped by.</param>
    /// <exception cref="RecordException">The record cannot be opened.</exception>
    /// <exception cref="IOException">The address is taken or not of this machine.</exception>
    public static async Task<LoggingServer> Start(FitPlan plan, string record, IPEndPoint listen, TimeProvider time)
    {
        RecordStore.Open(record, mayCreate: true).Dispose();
        WebApplicationBuilder builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = LargestSheetBytes;
            kestrel.Listen(listen);
        });
        builder.Services.Configure<RouteHandlerOptions>(o => o.ThrowOnBadRequest = true);   // so that Guard can say in words what is wrong
        WebApplication application = builder.Build();
        application.Use((context, next) => Guard.Check(context, next, IPAddress.IsLoopback(listen.Address)));
        new LoggingPage(plan, record, time).Map(application);
        try
        {
            await application.StartAsync().ConfigureAwait(false);
        }
        catch
        {
            await application.DisposeAsync().ConfigureAwait(false);
            throw;
        }
        string address = application.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First();
        return new LoggingServer(application, new Uri(address));
    }

    /// <summary>Ends serving, requests under way first.</summary>
    public async ValueTask DisposeAsync()
    {
        await _application.StopAsync().ConfigureAwait(false);
        await _application.DisposeAsync().ConfigureAwait(false);
    }
}
