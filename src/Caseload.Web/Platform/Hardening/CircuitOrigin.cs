namespace Caseload.Web.Platform.Hardening;

/// <summary>Circuits are opened by Caseload's own pages only.</summary>
/// <remarks>Browsers let any page open a web socket to any host and send the cookies along; the Origin header tells which page it was.</remarks>
public static class CircuitOrigin
{
    private const string Circuits = "/_blazor";

    /// <summary>Refuses foreign pages before the hub hears of them.</summary>
    public static void UseCircuitOrigin(this IApplicationBuilder app, PublicAddress address) =>
        app.Use(
            async (context, next) =>
            {
                if (!context.Request.Path.StartsWithSegments(Circuits, StringComparison.OrdinalIgnoreCase) || IsOwn(context, address))
                {
                    await next(context);
                    return;
                }
                await context.AnswerPlainlyAsync(StatusCodes.Status403Forbidden, "Only pages of Caseload itself may connect here.");
            }
        );

    private static bool IsOwn(HttpContext context, PublicAddress address) =>
        context.Request.Headers.Origin.ToString() is { Length: > 0 } origin
            ? address.IsOwnOrigin(origin, context.Request)
            // A browser names the origin of every web socket; files and the like are fetched without one.
            : !context.WebSockets.IsWebSocketRequest && !IsUpgrade(context.Request);

    private static bool IsUpgrade(HttpRequest request) => request.Headers.Upgrade.Count > 0 || HttpMethods.IsConnect(request.Method);
}
