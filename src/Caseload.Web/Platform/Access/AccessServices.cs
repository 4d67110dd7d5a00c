using Caseload.Data.People;
using Microsoft.AspNetCore.Identity;

namespace Caseload.Web.Platform.Access;

/// <summary>What signing in is made of.</summary>
public static class AccessServices
{
    // OWASP's figure for PBKDF2 with HMAC-SHA512, from memory; a hash made with fewer rounds is renewed at the next sign-in.
    private const int HashRounds = 210_000;

    /// <summary>Adds it.</summary>
    public static void AddPeople(this IServiceCollection services)
    {
        services.Configure<PasswordHasherOptions>(options => options.IterationCount = HashRounds);
        services.AddSingleton<IPasswordHasher<Person>, PasswordHasher<Person>>();
        services.AddSingleton<SignInSwitchboard>();
        services.AddSingleton<SignInKeeper>();
        services.AddSingleton<SignInDoor>();
        services.AddSingleton<IdentityDoor>();
        services.AddSingleton<IdleTime>();
        services.AddSingleton<Welcome>();
        services.AddSingleton<FirstSetup>();
        services.AddSingleton<DemoAccounts>();
        services.AddSingleton<PairingSeal>();
        services.AddSingleton<OwnProof>();
        services.AddSingleton<OwnAccount>();
        services.AddSingleton<OwnPassword>();
        services.AddSingleton<OwnSecondFactor>();
        services.AddScoped<Doorstep>();
        services.AddSignIn();
        services.AddPasskeys();
        services.AddPagePolicies();
        services.AddCascadingAuthenticationState();
    }
}
