using Caseload.Web.Platform.Hardening;

namespace Caseload.Web.Platform.Access;

/// <summary>What is needed to let people sign in at an identity provider.</summary>
/// <param name="Authority">The provider's address, under which it describes itself.</param>
/// <param name="ClientId">What Caseload is called there.</param>
/// <param name="ClientSecret">What Caseload proves itself with; null when the provider asks for none.</param>
/// <param name="Label">What people call the provider.</param>
public sealed record IdentityProviderSettings(Uri Authority, string ClientId, string? ClientSecret, string Label)
{
    /// <summary>The setting that names the provider.</summary>
    public const string AuthoritySetting = "CASELOAD_OIDC_AUTHORITY";

    /// <summary>The setting for <see cref="ClientId"/>.</summary>
    public const string ClientSetting = "CASELOAD_OIDC_CLIENT_ID";

    /// <summary>The setting that names the file with <see cref="ClientSecret"/>.</summary>
    public const string SecretFileSetting = "CASELOAD_OIDC_CLIENT_SECRET_FILE";

    /// <summary>The setting for <see cref="Label"/>.</summary>
    public const string LabelSetting = "CASELOAD_OIDC_LABEL";

    private const string UsualLabel = "your organisation";
    private const int LongestLabel = 60;

    /// <summary>Scheme, host and port of the provider.</summary>
    public string Origin => Authority.GetLeftPart(UriPartial.Authority);

    /// <summary>Reads the settings; null when people sign in here only.</summary>
    /// <exception cref="HostStartException">They are not complete or not safe; says what to set.</exception>
    public static IdentityProviderSettings? Read(IConfiguration settings)
    {
        var authority = ReadAuthority(settings[AuthoritySetting]);
        var clientId = Given(settings[ClientSetting]);
        if (authority is not null && clientId is not null)
        {
            return new IdentityProviderSettings(
                authority,
                clientId,
                ReadSecret(settings[SecretFileSetting]),
                ReadLabel(settings[LabelSetting])
            );
        }
        if (authority is not null)
        {
            throw new HostStartException(
                $"{AuthoritySetting} is set and {ClientSetting} is not. Set it to the name that the identity provider gave to Caseload, "
                    + "or take both away."
            );
        }
        return clientId is null && Given(settings[SecretFileSetting]) is null
            ? null
            : throw new HostStartException(
                $"{(clientId is null ? SecretFileSetting : ClientSetting)} is set and {AuthoritySetting} is not. Set it to the identity "
                    + "provider's address, for example https://login.example.org, or take both away."
            );
    }

    private static string? Given(string? value) => string.IsNullOrWhiteSpace(value) ? null : value.Trim();

    private static Uri? ReadAuthority(string? value) =>
        Given(value) is not { } given ? null
        : Uri.TryCreate(given, UriKind.Absolute, out var uri)
        && (
            uri.Scheme == Uri.UriSchemeHttps
            || (uri.Scheme == Uri.UriSchemeHttp && (uri.IsLoopback || PublicAddress.IsLoopbackHost(uri.IdnHost)))
        )
        && uri.UserInfo.Length == 0
        && uri.Query.Length == 0
        && uri.Fragment.Length == 0
            ? uri
        : throw new HostStartException(
            $"{AuthoritySetting} is \"{given}\". It must be an address that begins with https://, without a query, for example "
                + "https://login.example.org; plain http is for a provider on this machine only."
        );

    private static string? ReadSecret(string? value) =>
        Given(value) is not { } file ? null
        : !File.Exists(file) ? throw new HostStartException($"The file {file} of {SecretFileSetting} does not exist.")
        : Given(File.ReadAllText(file))
            ?? throw new HostStartException(
                $"The file {file} of {SecretFileSetting} is empty. Put the client secret of the identity provider into it."
            );

    private static string ReadLabel(string? value) =>
        Given(value) is not { } label ? UsualLabel
        : label.Length <= LongestLabel ? label
        : throw new HostStartException(
            $"{LabelSetting} has {label.Length} characters. It stands on a button: give it at most {LongestLabel}."
        );
}
