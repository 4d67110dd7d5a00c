using Caseload.Data;
using Caseload.Web.Platform.Jobs;
using Caseload.Web.Platform.Mail;

namespace Caseload.Web.Platform;

/// <summary>Passes on what was saved: to the open pages of this process, and to the job that sends mail.</summary>
public sealed class SavedChanges(ChangeNotifier notifier, JobSignal signal) : ISavedListener
{
    /// <inheritdoc />
    public void AlertsSaved(Guid programmeId) => notifier.Changed(programmeId);

    /// <inheritdoc />
    public void MessagesSaved(Guid programmeId) => signal.Nudge(MailDispatchJob.JobName);
}
