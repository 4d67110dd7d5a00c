using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Mail;

/// <summary>What an administrator sees and does about mail.</summary>
public partial class MailPage
{
    // A server has half a minute to answer; whoever waits longer can refresh.
    private const int MostLooks = 30;

    private static readonly TimeSpan _betweenLooks = TimeSpan.FromSeconds(1);

    private MailOverview? _mail;
    private string? _problem;
    private string? _outcome;

    [Inject]
    private GetMailHandler Getter { get; set; } = default!;

    [Inject]
    private SendTestMessageHandler Tester { get; set; } = default!;

    [Inject]
    private RetryMessagesHandler Retrier { get; set; } = default!;

    [Inject]
    private GiveUpMessageHandler Giver { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(
            async ct =>
            {
                _mail = await Getter.HandleAsync(await Actors.GetAsync(ct), new GetMail(), ct);
                return true;
            },
            keepsShowing: _mail is not null
        );

    private Task SendTestAsync(string address) =>
        RunAsync(async ct =>
        {
            (_problem, _outcome) = (null, null);
            var request = new SendTestMessage(Guid.CreateVersion7(Time.GetUtcNow()), address);
            var written = await Tester.HandleAsync(await Actors.GetAsync(ct), request, ct);
            if (!written.IsAccepted)
            {
                _problem = written.Refusals[0].Message;
                return;
            }
            _outcome = "Sending…";
            for (var looks = 0; looks < MostLooks && OutcomeOf(written.Value) is null; looks++)
            {
                StateHasChanged();
                await Task.Delay(_betweenLooks, Time, ct);
                await ReloadAsync();
            }
            _outcome = OutcomeOf(written.Value) ?? "It is not sent yet. It waits below; refresh to see what becomes of it.";
        });

    private string? OutcomeOf(Guid id) =>
        _mail!.Sent.Any(row => row.Id == id)
            ? _mail.Way.Server is null
                ? "Written to a file. Set a mail server to have it sent."
                : "The mail server took it. Look into the mailbox, and into its junk folder."
            : _mail.Parked.FirstOrDefault(row => row.Id == id)?.Reason;

    private Task RetryAsync(Guid? id) =>
        RunAsync(async ct =>
        {
            await Retrier.HandleAsync(await Actors.GetAsync(ct), new RetryMessages(id), ct);
            await ReloadAsync();
        });

    private Task GiveUpAsync(Guid id) =>
        RunAsync(async ct =>
        {
            await Giver.HandleAsync(await Actors.GetAsync(ct), new GiveUpMessage(id), ct);
            await ReloadAsync();
        });
}
