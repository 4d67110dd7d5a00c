namespace Caseload.Data.Access;

/// <summary>What can be allowed. Every use case asks for exactly one when it opens the store.</summary>
#pragma warning disable CA1711 // The word everybody uses; the framework's own types that ended so are long gone.
public enum Permission
#pragma warning restore CA1711
{
    /// <summary>See lists of children and open a child or a visit.</summary>
    ReadChildren,

    /// <summary>Add a child, edit one, record exclusions and concerns, close a case.</summary>
    EditChildren,

    /// <summary>Give a child to another clinician.</summary>
    AssignChildren,

    /// <summary>Start, log and finish visits, and correct findings.</summary>
    LogVisits,

    /// <summary>Answer alerts: acknowledge, say what was done, set aside.</summary>
    AnswerAlerts,

    /// <summary>Read weekly digests.</summary>
    ReadDigests,

    /// <summary>Open a child outside the own reach, for a stated reason and a limited time.</summary>
    ReachByReason,

    /// <summary>See who opened or changed a child's record.</summary>
    SeeWhoLooked,

    /// <summary>Destroy the record of a child whose case is closed.</summary>
    DestroyRecords,

    /// <summary>Read reference sets and their sources.</summary>
    ReadReference,

    /// <summary>Publish a changed reference set and choose the one in use.</summary>
    ChangeReference,

    /// <summary>Read the programme's settings.</summary>
    ReadSettings,

    /// <summary>Change the numbers that checks and states follow.</summary>
    ChangeReviewPolicy,

    /// <summary>Change the programme's name and time zone, and the rules for signing in and keeping records.</summary>
    ChangeSettings,

    /// <summary>See what the jobs and the mail do, start a job, send a test message.</summary>
    RunJobs,

    /// <summary>Invite people, give roles, disable, end sign-ins.</summary>
    ManagePeople,

    /// <summary>Say who covers whose children, and from when until when.</summary>
    ArrangeCover,

    /// <summary>Read the programme's numbers, in which no child stands out.</summary>
    ReadNumbers,

    /// <summary>Search the access record, and look over children that were opened by a reason.</summary>
    SearchAccessRecord,

    /// <summary>Check that the access record was not altered.</summary>
    VerifyAccessRecord,

    /// <summary>Change the own password and second factor, and end own sign-ins.</summary>
    KeepOwnAccount,
}
