using System.Net;
using System.Text.Json;
using GapFlush.Store;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Primitives;

namespace GapFlush.Web;

/// <summary>Keeps other pages of the same browser from entering readings, and turns what goes wrong into words.</summary>
internal static class Guard
{
    private const string Policy = "default-src 'self'; img-src 'self' data:; style-src 'self' 'unsafe-inline'; font-src 'self' data:; frame-ancestors 'none'; base-uri 'none'; form-action 'none'";

    /// <summary>Lets a request through, or answers it.</summary>
    public static async Task Check(HttpContext context, RequestDelegate next, bool thisMachineOnly)
    {
        HttpRequest request = context.Request;
        context.Response.Headers.ContentSecurityPolicy = Policy;
        context.Response.Headers.XContentTypeOptions = "nosniff";
        context.Response.Headers.CacheControl = "no-store";
        // A name that leads here from elsewhere (a rebound name) is not an address of this machine.
        if (thisMachineOnly && request.Host.Host is not ("localhost" or "[::1]") && !(IPAddress.TryParse(request.Host.Host, out IPAddress? host) && IPAddress.IsLoopback(host)))
        {
            await Answer(context, StatusCodes.Status403Forbidden, $"this page answers to 127.0.0.1 and localhost only, not to '{request.Host.Host}'.").ConfigureAwait(false);
            return;
        }
        if (HttpMethods.IsPost(request.Method))
        {
            StringValues origin = request.Headers.Origin;
            if (origin.Count > 0 && !(Uri.TryCreate(origin.ToString(), UriKind.Absolute, out Uri? from) && from.Authority == request.Host.Value))
            {
                await Answer(context, StatusCodes.Status403Forbidden, "readings are taken from this page only, not from another.").ConfigureAwait(false);
                return;
            }
            if (request.ContentType is not string type || !type.StartsWith("application/json", StringComparison.OrdinalIgnoreCase))
            {
                await Answer(context, StatusCodes.Status415UnsupportedMediaType, "a sheet of readings is sent as application/json.").ConfigureAwait(false);
                return;
            }
        }
        try
        {
            await next(context).ConfigureAwait(false);
        }
        catch (RecordException refused)
        {
            await Answer(context, StatusCodes.Status503ServiceUnavailable, refused.Message).ConfigureAwait(false);
        }
        catch (BadHttpRequestException bad)
        {
            await Answer(context, bad.StatusCode, bad.Message).ConfigureAwait(false);
        }
        catch (JsonException bad)
        {
            await Answer(context, StatusCodes.Status400BadRequest, $"the sheet is not what this page sends: {bad.Message}").ConfigureAwait(false);
        }
    }

    /// <summary>Answers with a problem in words.</summary>
    public static Task Answer(HttpContext context, int status, string problem)
    {
        context.Response.StatusCode = status;
        return context.Response.WriteAsJsonAsync(new { problem });
    }
}
