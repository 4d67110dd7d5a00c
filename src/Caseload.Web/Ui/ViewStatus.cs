namespace Caseload.Web.Ui;

/// <summary>The four states of every view that shows data.</summary>
public enum ViewStatus
{
    /// <summary>Not there yet.</summary>
    Loading,

    /// <summary>There, and nothing in it.</summary>
    Empty,

    /// <summary>Could not be had.</summary>
    Failed,

    /// <summary>There.</summary>
    Loaded,
}
