using System.Net;

namespace Caseload.Web.Platform.Hardening;

/// <summary>The address people type to reach Caseload; everything that depends on TLS follows from its scheme.</summary>
public sealed class PublicAddress
{
    /// <summary>The setting that names it.</summary>
    public const string Setting = "CASELOAD_PUBLIC_ADDRESS";

    private PublicAddress(Uri uri) => Uri = uri;

    /// <summary>Scheme, host and port, without a path.</summary>
    public Uri Uri { get; }

    /// <summary>Whether browsers reach Caseload over TLS.</summary>
    public bool IsSecure => Uri.Scheme == Uri.UriSchemeHttps;

    /// <summary>Whether only this machine can reach it.</summary>
    public bool IsLoopback => Uri.IsLoopback || IsLoopbackHost(Uri.IdnHost);

    /// <summary>Scheme, host and port as a browser sends them in the Origin header.</summary>
    public string Origin => Uri.GetComponents(UriComponents.SchemeAndServer, UriFormat.UriEscaped);

    /// <summary>Reads the setting, else takes the listen address when only this machine can reach it.</summary>
    public static PublicAddress Find(string listenAddresses, IConfiguration settings)
    {
        if (settings[Setting] is { Length: > 0 } given)
        {
            return Parse(given);
        }
        var listens = listenAddresses.Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        var isLocal =
            listens.Length > 0 && listens.All(address => BindingAddress.Parse(address) is var bound && IsLoopbackHost(bound.Host));
        return isLocal
            ? new PublicAddress(new Uri(new Uri(listens[0]).GetLeftPart(UriPartial.Authority)))
            : throw new HostStartException(
                $"Caseload is to listen on {listenAddresses}, which other machines can reach, and does not know its public address. "
                    + $"Set {Setting} to what people type in the browser, for example https://caseload.example.org; "
                    + "deploy/proxy.md says how to put TLS in front. To try it on this machine only, use --urls http://127.0.0.1:5080."
            );
    }

    /// <summary>Whether a request that claims to come from a page of this origin may open a circuit.</summary>
    /// <remarks>
    /// On loopback people type localhost as well as 127.0.0.1 for one and the same listener, so there the page's own host counts; the host
    /// filter lets loopback names through only.
    /// </remarks>
    public bool IsOwnOrigin(string origin, HttpRequest request) =>
        origin == Origin || (IsLoopback && origin == $"{request.Scheme}://{request.Host}");

    /// <summary>Whether a host name or address stays on this machine.</summary>
    public static bool IsLoopbackHost(string host) =>
        host.Equals("localhost", StringComparison.OrdinalIgnoreCase)
        || (IPAddress.TryParse(host.Trim('[', ']'), out var address) && IPAddress.IsLoopback(address));

    private static PublicAddress Parse(string given)
    {
        if (
            !Uri.TryCreate(given, UriKind.Absolute, out var uri)
            || (uri.Scheme != Uri.UriSchemeHttps && uri.Scheme != Uri.UriSchemeHttp)
            || uri.PathAndQuery != "/"
            || uri.UserInfo.Length > 0
            || uri.Fragment.Length > 0
        )
        {
            throw new HostStartException(
                $"{Setting} is \"{given}\". It must be scheme, host and perhaps a port, without a path: https://caseload.example.org."
            );
        }
        var address = new PublicAddress(uri);
        return address.IsSecure || address.IsLoopback
            ? address
            : throw new HostStartException(
                $"{Setting} is \"{given}\". Records of children must not travel in the clear: use https, with a reverse proxy in front "
                    + "(deploy/proxy.md). Plain http is for this machine only: http://localhost or http://127.0.0.1."
            );
    }
}
