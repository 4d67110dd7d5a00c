using System.Data.Common;
using Microsoft.EntityFrameworkCore.Diagnostics;

namespace Caseload.Data;

/// <summary>Tells of alerts and messages once the transaction that wrote them is committed, and not before.</summary>
internal sealed class SavedInterceptor : DbTransactionInterceptor
{
    public override Task TransactionCommittedAsync(
        DbTransaction transaction,
        TransactionEndEventData eventData,
        CancellationToken cancellationToken = default
    )
    {
        (eventData.Context as CaseloadDbContext)?.TellOfSaved();
        return Task.CompletedTask;
    }
}
