using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Mail;

/// <summary>A message as it was sent to the person.</summary>
public partial class OwnMessagePage
{
    private OwnMessage? _message;

    /// <summary>The message.</summary>
    [Parameter]
    public Guid Id { get; set; }

    [Inject]
    private GetOwnMessageHandler Getter { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _message = await Getter.HandleAsync(await Actors.GetAsync(ct), new GetOwnMessage(Id), ct);
            return _message is not null;
        });
}
