using Caseload.Data.Access;
using Caseload.Domain;
using Microsoft.AspNetCore.Authorization;

namespace Caseload.Web.Platform.Access;

/// <summary>Says which permission a page needs. The page's use cases ask the store again; this keeps people from pages that would be empty.</summary>
/// <param name="permission">The permission.</param>
[AttributeUsage(AttributeTargets.Class)]
public sealed class NeedsAttribute(Permission permission) : AuthorizeAttribute(PagePolicies.NameOf(permission))
{
    /// <summary>The permission.</summary>
    public Permission Permission { get; } = permission;
}

/// <summary>What a person must be allowed.</summary>
/// <param name="Permission">The permission.</param>
public sealed record PermissionRequirement(Permission Permission) : IAuthorizationRequirement;

/// <summary>One policy for each permission, and the rule that nothing is open to everybody unless it says so.</summary>
public static class PagePolicies
{
    /// <summary>The policy's name.</summary>
    public static string NameOf(Permission permission) => "may-" + permission.ToWord();

    /// <summary>Adds them.</summary>
    public static void AddPagePolicies(this IServiceCollection services)
    {
        services.AddSingleton<IAuthorizationHandler, PermissionCheck>();
        services.AddAuthorization(options =>
        {
            options.FallbackPolicy = new AuthorizationPolicyBuilder(SignInCookies.Scheme).RequireAuthenticatedUser().Build();
            foreach (var permission in Enum.GetValues<Permission>())
            {
                options.AddPolicy(
                    NameOf(permission),
                    policy => policy.RequireAuthenticatedUser().AddRequirements(new PermissionRequirement(permission))
                );
            }
        });
    }

    private sealed class PermissionCheck(SignInKeeper keeper) : AuthorizationHandler<PermissionRequirement>
    {
        protected override async Task HandleRequirementAsync(AuthorizationHandlerContext context, PermissionRequirement requirement)
        {
            try
            {
                if (
                    SignInClaims.Read(context.User) is { } claims
                    && await keeper.FindAsync(claims, CancellationToken.None) is { } actor
                    && actor.May(requirement.Permission)
                )
                {
                    context.Succeed(requirement);
                }
            }
            catch (Exception failure) when (DatabaseTrouble.IsBehind(failure))
            {
                // Rights that cannot be read are rights that are not there; an exception here would end the circuit.
                context.Fail(new AuthorizationFailureReason(this, "The rights could not be read."));
            }
        }
    }
}
