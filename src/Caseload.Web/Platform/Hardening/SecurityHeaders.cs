using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.StaticAssets;

namespace Caseload.Web.Platform.Hardening;

/// <summary>The headers that tell browsers what a page of Caseload may do.</summary>
public static class SecurityHeaders
{
    private const int TwoYearsInSeconds = 2 * 365 * 24 * 60 * 60;

    /// <summary>Puts the headers on every answer, those of the framework's own filters included.</summary>
    public static void AddCaseloadHeaders(this IServiceCollection services, PublicAddress address, IConfiguration settings)
    {
        var identityProvider = IdentityProviderSettings.Read(settings)?.Origin;
        services.AddSecurityHeaderPolicies().SetDefaultPolicy(headers => Fill(headers, address, identityProvider));
        // First of all filters: the host filter answers before any middleware of ours, and its answers need the headers as well.
        services.Insert(0, ServiceDescriptor.Singleton<IStartupFilter, Outermost>());
    }

    private static void Fill(HeaderPolicyCollection headers, PublicAddress address, string? identityProvider)
    {
        headers
            .AddContentTypeOptionsNoSniff()
            .AddFrameOptionsDeny()
            .AddReferrerPolicyNoReferrer()
            .AddCrossOriginOpenerPolicy(opener => opener.SameOrigin())
            .AddPermissionsPolicy(permissions =>
            {
                permissions.AddCamera().None();
                permissions.AddMicrophone().None();
                permissions.AddGeolocation().None();
                permissions.AddPayment().None();
                permissions.AddUsb().None();
            })
            .AddContentSecurityPolicy(policy =>
            {
                policy.AddDefaultSrc().Self();
                policy.AddScriptSrc().Self();
                // The theme of the component library is a style element that is written at run time and changes with dark and light.
                policy.AddStyleSrc().Self().UnsafeInline();
                policy.AddImgSrc().Self().Data();
                policy.AddConnectSrc().Self();
                policy.AddFontSrc().Self();
                policy.AddObjectSrc().None();
                // Not 'none': browsers would then ignore the document's own base element, and Blazor finds its addresses by it. An injected
                // one can point to this origin only.
                policy.AddBaseUri().Self();
                var forms = policy.AddFormAction().Self();
                if (identityProvider is not null)
                {
                    forms.From(identityProvider);
                }
                policy.AddFrameAncestors().None();
            });
        if (address.IsSecure)
        {
            headers.AddStrictTransportSecurityMaxAgeIncludeSubDomains(TwoYearsInSeconds);
        }
    }

    private sealed class Outermost : IStartupFilter
    {
        public Action<IApplicationBuilder> Configure(Action<IApplicationBuilder> next) =>
            app =>
            {
                // Before the headers, which depend on the scheme the browser used.
                app.UseForwardedHeaders();
                app.UseSecurityHeaders();
                app.Use(
                    (context, following) =>
                    {
                        context.Response.OnStarting(KeepOutOfCaches, context);
                        return following(context);
                    }
                );
                next(app);
            };

        /// <summary>Whatever is not a file of the application may be about a child.</summary>
        private static Task KeepOutOfCaches(object state)
        {
            var context = (HttpContext)state;
            if (context.GetEndpoint()?.Metadata.GetMetadata<StaticAssetDescriptor>() is null)
            {
                context.Response.Headers.CacheControl = "no-store";
                context.Response.Headers.Remove("Pragma");
            }
            return Task.CompletedTask;
        }
    }
}
