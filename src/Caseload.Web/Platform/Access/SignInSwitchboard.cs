namespace Caseload.Web.Platform.Access;

/// <summary>Tells running pages that the sign-in they were opened under is over.</summary>
public sealed class SignInSwitchboard
{
    /// <summary>Raised with the id of every sign-in that ended; its pages show nothing more from then on.</summary>
#pragma warning disable MA0046 // There is one sender, and an id is all that anybody needs.
    public event Action<Guid>? Ended;
#pragma warning restore MA0046

    /// <summary>Says that sign-ins ended; called after the save that ended them.</summary>
    public void AnnounceEnded(IEnumerable<Guid> signInIds)
    {
        ArgumentNullException.ThrowIfNull(signInIds);
        foreach (var id in signInIds)
        {
            Ended?.Invoke(id);
        }
    }
}
