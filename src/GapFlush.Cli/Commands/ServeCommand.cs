using System.CommandLine;
using System.Globalization;
using System.Net;
using GapFlush.Cli.Running;
using GapFlush.Plan;
using GapFlush.Store;
using GapFlush.Web;

namespace GapFlush.Cli.Commands;

/// <summary>Serves the page on which inspectors log readings.</summary>
internal static class ServeCommand
{
    private const string Usual = "127.0.0.1:8620";

    public static Command Create()
    {
        Option<string> listen = new("--listen") { Description = "Address and port to serve on; port 0 takes a free one.", HelpName = "ADDRESS:PORT", DefaultValueFactory = _ => Usual };
        Command command = new("serve", "Serve the page on which an inspector logs readings into the record, from this machine's browser or a tablet.\n"
            + "There is no login and no encryption: unless --listen says otherwise the page answers to this machine alone. Ends with Ctrl+C.\n\n"
            + "Example:\n  gapflush serve fixtures/dabchick --record shop.sqlite")
        {
            CommonOptions.Plan, CommonOptions.Record, listen, CommonOptions.Quiet,
        };
        command.SetAction((parse, stop) => Run(parse, parse.GetRequiredValue(listen), stop));
        return command;
    }

    private static async Task<int> Run(ParseResult parse, string listen, CancellationToken stop)
    {
        Talk talk = new(parse);
        IPEndPoint where = Where(listen);
        FitPlan plan = PlanLoading.Plan(parse, talk);
        string record = RecordLoading.NamedAddress(parse);
        LoggingServer server;
        try
        {
            server = await LoggingServer.Start(plan, record, where, TimeProvider.System).ConfigureAwait(false);
        }
        catch (RecordException refused)
        {
            throw new RefusedException(refused.Message);
        }
        catch (Exception fault) when (fault is IOException or System.Net.Sockets.SocketException)
        {
            throw new RefusedException($"cannot serve on {listen}: {fault.Message.TrimEnd('.')}. Give another address or port with --listen.");
        }
        await using (server.ConfigureAwait(false))
        {
            talk.Output.WriteLine(server.Address);
            await talk.Output.FlushAsync(stop).ConfigureAwait(false);
            talk.Say("Open this address in a browser. Ctrl+C ends it.");
            if (!IPAddress.IsLoopback(where.Address)) talk.Say("notice: everybody who reaches this address can enter readings under any name: there is no login and no encryption.");
            try
            {
                await Task.Delay(Timeout.Infinite, stop).ConfigureAwait(false);
            }
            catch (OperationCanceledException)
            {
                talk.Say("Ended. What was acknowledged is in the record.");
            }
        }
        return ExitCode.AllWithin;
    }

    private static IPEndPoint Where(string listen)
    {
        int colon = listen.LastIndexOf(':');
        string text = colon > 0 && listen[..colon] == "localhost" ? "127.0.0.1" + listen[colon..] : listen;
        // IPEndPoint takes an address without a port, and a bare number as an address; neither is meant here.
        return colon > 0 && int.TryParse(listen[(colon + 1)..], NumberStyles.None, CultureInfo.InvariantCulture, out _) && IPEndPoint.TryParse(text, out IPEndPoint? point) ? point
            : throw new RefusedException($"--listen '{listen}': expected an address and a port of this machine, like {Usual}; found neither a number before nor a port after the last colon.");
    }
}
