using Caseload.Domain.Interpretation;

namespace Caseload.Web.Ui;

/// <summary>A shape for every state, each told from the others without colour.</summary>
public static class StateMark
{
    /// <summary>The shape's paths within a square of 20, to be drawn with the current colour.</summary>
    public static string PathsOf(ItemState state) =>
        state switch
        {
            ItemState.NotYetExpected =>
                """<circle cx="10" cy="10" r="7" fill="none" stroke="currentColor" stroke-width="1.8" stroke-dasharray="2 3"/>""",
            ItemState.ExpectedNotYetSeen => """<circle cx="10" cy="10" r="7" fill="none" stroke="currentColor" stroke-width="2"/>""",
            ItemState.PresentAsExpected => """<circle cx="10" cy="10" r="7" fill="currentColor"/>""",
            ItemState.Fading =>
                """<circle cx="10" cy="10" r="7" fill="none" stroke="currentColor" stroke-width="2"/><path d="M3 10a7 7 0 0 0 14 0z" fill="currentColor"/>""",
            ItemState.Integrated =>
                """<path d="M3.5 10.5l4.5 4.5l8.5-9" fill="none" stroke="currentColor" stroke-width="2.8" stroke-linecap="round" stroke-linejoin="round"/>""",
            ItemState.AwaitingConfirmation =>
                """<path d="M2.5 11l3.5 3.5l5-6" fill="none" stroke="currentColor" stroke-width="2.4" stroke-linecap="round"/><path d="M12 15.5l.1 0M15 15.5l.1 0M18 15.5l.1 0" stroke="currentColor" stroke-width="2.6" stroke-linecap="round"/>""",
            ItemState.Persisting => """<path d="M10 2.5l8 14.5h-16z" fill="currentColor"/>""",
            ItemState.DeadlinePassedUnchecked =>
                """<circle cx="10" cy="10" r="7.5" fill="none" stroke="currentColor" stroke-width="2"/><path d="M10 5.5v5l3.2 2" fill="none" stroke="currentColor" stroke-width="2" stroke-linecap="round"/>""",
            ItemState.AbsentWhenExpected =>
                """<rect x="3" y="3" width="14" height="14" fill="none" stroke="currentColor" stroke-width="2"/><path d="M3 17l14-14" stroke="currentColor" stroke-width="2"/>""",
            ItemState.OneSided =>
                """<rect x="3" y="3" width="14" height="14" fill="none" stroke="currentColor" stroke-width="2"/><rect x="3" y="3" width="7" height="14" fill="currentColor"/>""",
            ItemState.Obligatory => """<path d="M10 1.5l8.5 8.5l-8.5 8.5l-8.5-8.5z" fill="currentColor"/>""",
            ItemState.Returned =>
                """<path d="M4.5 8a6.3 6.3 0 1 1 .3 5" fill="none" stroke="currentColor" stroke-width="2.4" stroke-linecap="round"/><path d="M3 3.2v5.6h5.6z" fill="currentColor"/>""",
            ItemState.Emerging =>
                """<path d="M10 17v-7M10 11c-4 0-6-2-6-6c4 0 6 2 6 6z" fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round"/>""",
            ItemState.Established =>
                """<path d="M10 18v-8M10 11c-4 0-7-2-7-7c5 0 7 3 7 7zM10 11c4 0 7-2 7-7c-5 0-7 3-7 7z" fill="currentColor" stroke="currentColor" stroke-width="1.4" stroke-linejoin="round"/>""",
            ItemState.Late => """<path d="M10 17.5l-8-14.5h16z" fill="currentColor"/>""",
            _ => throw new ArgumentOutOfRangeException(nameof(state)),
        };
}
