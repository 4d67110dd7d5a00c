using System.Net;
using Microsoft.AspNetCore.HostFiltering;
using Microsoft.AspNetCore.HttpOverrides;

namespace Caseload.Web.Platform.Hardening;

/// <summary>Whom Caseload believes about the client's address and scheme, and which host names it answers to.</summary>
public static class TrustedProxy
{
    /// <summary>The setting that names the reverse proxy: addresses or networks, comma-separated.</summary>
    public const string Setting = "CASELOAD_PROXY";

    private const string TrustEverybody = "ASPNETCORE_FORWARDEDHEADERS_ENABLED";

    /// <summary>Configures forwarded headers and the host filter.</summary>
    public static void AddTrustedProxy(
        this IServiceCollection services,
        PublicAddress address,
        string listenAddresses,
        IConfiguration settings
    )
    {
        if (string.Equals(settings[TrustEverybody], "true", StringComparison.OrdinalIgnoreCase))
        {
            throw new HostStartException(
                $"{TrustEverybody} believes forwarded headers from everybody. Take it away and name the proxy in {Setting} instead."
            );
        }
        var proxies = Parse(settings[Setting]);
        if (address.IsSecure && proxies.Count == 0 && !listenAddresses.Contains("https://", StringComparison.OrdinalIgnoreCase))
        {
            throw new HostStartException(
                $"The public address {address.Origin} is https, but Caseload listens on {listenAddresses} only, and {Setting} names no "
                    + "proxy that does TLS in front of it. Set it to the proxy's address, for example 127.0.0.1; see deploy/proxy.md."
            );
        }
        services.Configure<ForwardedHeadersOptions>(forwarded =>
        {
            forwarded.ForwardedHeaders =
                proxies.Count > 0 ? ForwardedHeaders.XForwardedFor | ForwardedHeaders.XForwardedProto : ForwardedHeaders.None;
            // Only the nearest hop: with clients inside a trusted network, a second one could be of their own making.
            forwarded.ForwardLimit = 1;
            forwarded.KnownProxies.Clear();
            forwarded.KnownIPNetworks.Clear();
            foreach (var proxy in proxies)
            {
                forwarded.KnownIPNetworks.Add(proxy);
            }
        });
        services.Configure<HostFilteringOptions>(hosts =>
        {
            // Loopback stays open for the health check from inside the container.
            hosts.AllowedHosts =
            [
                .. new[] { address.Uri.Host, "localhost", "127.0.0.1", "[::1]" }.Distinct(StringComparer.OrdinalIgnoreCase),
            ];
            hosts.AllowEmptyHosts = false;
            hosts.IncludeFailureMessage = false;
        });
    }

    private static List<System.Net.IPNetwork> Parse(string? list) =>
        [
            .. (list ?? "")
                .Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
                .Select(entry =>
                    IPAddress.TryParse(entry, out var single) ? new System.Net.IPNetwork(single, single.GetAddressBytes().Length * 8)
                    : System.Net.IPNetwork.TryParse(entry, out System.Net.IPNetwork network) ? network
                    : throw new HostStartException(
                        $"{Setting} holds \"{entry}\". It takes addresses and networks, comma-separated: 127.0.0.1, 10.1.0.0/16."
                    )
                ),
        ];
}
