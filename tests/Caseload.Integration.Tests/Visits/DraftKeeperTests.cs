using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Visits;
using Microsoft.Extensions.Time.Testing;

namespace Caseload.Integration.Tests.Visits;

public sealed class DraftKeeperTests
{
    private readonly FakeTimeProvider _time = new(StoreFixture.NoonAt);
    private readonly List<(string Note, uint? Version)> _saves = [];
    private bool _isDown;

    [Fact]
    public void Change_FollowedByAnother_IsSavedOnceAfterThePause()
    {
        var keeper = Keeper();

        _ = keeper.ChangeAsync(new VisitForm { Note = "a" });
        _time.Advance(DraftKeeper.Pause / 2);
        _ = keeper.ChangeAsync(new VisitForm { Note = "ab" });
        _time.Advance(DraftKeeper.Pause / 2);
        _saves.ShouldBeEmpty();
        _time.Advance(DraftKeeper.Pause);

        _saves.ShouldBe([("ab", null)]);
        keeper.HasUnsaved.ShouldBeFalse();
        keeper.SavedAt.ShouldNotBeNull();
    }

    [Fact]
    public void Change_AfterASave_CarriesTheVersionOfThatSave()
    {
        var keeper = Keeper();
        _ = keeper.ChangeAsync(new VisitForm { Note = "a" });
        _time.Advance(DraftKeeper.Pause);

        _ = keeper.ChangeAsync(new VisitForm { Note = "ab" });
        _time.Advance(DraftKeeper.Pause);

        _saves.ShouldBe([("a", null), ("ab", 1u)]);
    }

    [Fact]
    public void Save_ThatFails_SaysSoAndTriesAgainUntilItIsKept()
    {
        var keeper = Keeper();
        _isDown = true;
        _ = keeper.ChangeAsync(new VisitForm { Note = "a" });
        _time.Advance(DraftKeeper.Pause);
        keeper.Problem.ShouldNotBeNull();
        keeper.HasUnsaved.ShouldBeTrue();

        _isDown = false;
        _time.Advance(DraftKeeper.RetryPause);

        keeper.Problem.ShouldBeNull();
        keeper.HasUnsaved.ShouldBeFalse();
        _saves.ShouldBe([("a", null)]);
    }

    [Fact]
    public async Task Flush_WithinThePause_SavesAtOnce()
    {
        var keeper = Keeper();
        _ = keeper.ChangeAsync(new VisitForm { Note = "a" });

        await keeper.FlushAsync(TestContext.Current.CancellationToken);
        _time.Advance(DraftKeeper.Pause);

        _saves.ShouldBe([("a", null)]);
    }

    [Fact]
    public void End_WithinThePause_SavesNothingMore()
    {
        var keeper = Keeper();
        _ = keeper.ChangeAsync(new VisitForm { Note = "a" });

        keeper.End();
        _time.Advance(DraftKeeper.Pause);

        _saves.ShouldBeEmpty();
    }

    private DraftKeeper Keeper() =>
        new(
            _time,
            (form, version, _) =>
            {
                if (_isDown)
                {
                    throw new TimeoutException("down");
                }
                _saves.Add((form.Note, version));
                return Task.FromResult<SaveVisitDraftOutcome>(
                    new SaveVisitDraftOutcome.Saved((uint)_saves.Count, _time.GetUtcNow(), ReplacedAnother: false)
                );
            },
            () => Task.CompletedTask
        );
}
