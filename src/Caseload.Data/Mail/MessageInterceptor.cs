using System.Data.Common;
using Microsoft.EntityFrameworkCore.Diagnostics;

namespace Caseload.Data.Mail;

/// <summary>Tells that there are messages to be sent once the transaction that wrote them is committed, and not before.</summary>
internal sealed class MessageInterceptor : DbTransactionInterceptor
{
    public override Task TransactionCommittedAsync(
        DbTransaction transaction,
        TransactionEndEventData eventData,
        CancellationToken cancellationToken = default
    )
    {
        (eventData.Context as CaseloadDbContext)?.TellOfMessages();
        return Task.CompletedTask;
    }
}
