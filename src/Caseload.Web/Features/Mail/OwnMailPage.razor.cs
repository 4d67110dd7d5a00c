using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Mail;

/// <summary>A person's own mail.</summary>
public partial class OwnMailPage
{
    private OwnMail? _mail;
    private string? _saved;

    [Inject]
    private ListOwnMessagesHandler Lister { get; set; } = default!;

    [Inject]
    private SaveDigestMailHandler Saver { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _mail = await Lister.HandleAsync(await Actors.GetAsync(ct), new ListOwnMessages(), ct);
            return true;
        });

    private Task ToggleAsync() =>
        RunAsync(async ct =>
        {
            _saved = null;
            var wants = await Saver.HandleAsync(await Actors.GetAsync(ct), new SaveDigestMail(!_mail!.WantsDigest), ct);
            _mail = _mail with { WantsDigest = wants };
            _saved = wants ? "Saved: it comes by mail" : "Saved: it does not come by mail";
        });
}
