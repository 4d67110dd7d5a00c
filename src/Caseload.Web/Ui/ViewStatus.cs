namespace Caseload.Web.Ui;

/// <summary>The states of every view that shows data.</summary>
public enum ViewStatus
{
    /// <summary>Not there yet.</summary>
    Loading,

    /// <summary>There, and nothing in it.</summary>
    Empty,

    /// <summary>Could not be had.</summary>
    Failed,

    /// <summary>Not for this person.</summary>
    Denied,

    /// <summary>There.</summary>
    Loaded,
}
