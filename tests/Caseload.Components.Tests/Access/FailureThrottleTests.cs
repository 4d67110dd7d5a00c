using Caseload.Web.Platform.Access;
using CsCheck;

namespace Caseload.Components.Tests.Access;

[Trait("Requirement", "SEC-12")]
public sealed class FailureThrottleTests
{
    private static readonly DateTimeOffset _at = new(2026, 3, 2, 8, 0, 0, TimeSpan.Zero);

    // What happens one after another: how long after the last thing, and whether it was a failure.
    private static readonly Gen<List<(int Seconds, bool Fails)>> _attempts = Gen.Select(Gen.Int[0, 5_000], Gen.Int[0, 60])
        .Select((seconds, kind) => (seconds, kind > 0))
        .List[0, 300];

    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 0)]
    [InlineData(4, 0)]
    [InlineData(5, 5)]
    [InlineData(6, 0)]
    [InlineData(9, 0)]
    [InlineData(10, 10)]
    [InlineData(14, 0)]
    [InlineData(15, 20)]
    [InlineData(20, 40)]
    [InlineData(25, 60)]
    [InlineData(26, 0)]
    [InlineData(30, 60)]
    [InlineData(50, 60)]
    [InlineData(95, 60)]
    [InlineData(99, 0)]
    public void Door_AfterSoManyFailures_IsShutForSoManyMinutes(int failures, int minutes)
    {
        var throttle = FailuresAsSoonAsPossible(failures, out var last);

        throttle.InARow.ShouldBe(failures);
        throttle.IsStopped.ShouldBeFalse();
        if (minutes == 0)
        {
            throttle.LockedUntil(last).ShouldBeNull();
            return;
        }
        var until = last.AddMinutes(minutes);
        throttle.LockedUntil(last).ShouldBe(until);
        throttle.LockedUntil(until.AddTicks(-1)).ShouldBe(until);
        throttle.LockedUntil(until).ShouldBeNull();
    }

    [Fact]
    public void Door_AtAHundredFailures_NeverOpensByItself()
    {
        var throttle = FailuresAsSoonAsPossible(100, out var last);

        throttle.InARow.ShouldBe(100);
        throttle.IsStopped.ShouldBeTrue();
        throttle.LockedUntil(last.AddYears(50)).ShouldBe(DateTimeOffset.MaxValue);
        throttle.AfterFailure(last.AddYears(50)).ShouldBe(throttle);
        throttle.AfterSuccess(last.AddYears(50)).ShouldBe(throttle);
    }

    [Fact]
    public void Failure_WhileTheDoorIsShut_NeitherCountsNorExtends()
    {
        var shut = FailuresAsSoonAsPossible(5, out var last);

        shut.AfterFailure(last).ShouldBe(shut);
        shut.AfterFailure(last.AddMinutes(4)).ShouldBe(shut);
        shut.AfterFailure(last.AddMinutes(5)).ShouldBe(FailureThrottle.Restore(6, last.AddMinutes(5)));
    }

    [Fact]
    public void Success_WhenTheDoorIsOpen_BeginsAnew()
    {
        FailuresAsSoonAsPossible(4, out var last).AfterSuccess(last).ShouldBe(FailureThrottle.None);
        FailuresAsSoonAsPossible(99, out last).AfterSuccess(last).ShouldBe(FailureThrottle.None);
    }

    [Fact]
    public void Success_WhileTheDoorIsShut_ChangesNothing()
    {
        var shut = FailuresAsSoonAsPossible(10, out var last);

        shut.AfterSuccess(last.AddMinutes(1)).ShouldBe(shut);
    }

    [Fact]
    public void Door_WhenTheClockWasSetBack_StaysShut()
    {
        var shut = FailuresAsSoonAsPossible(5, out var last);

        shut.LockedUntil(last.AddHours(-3)).ShouldBe(last.AddMinutes(5));
    }

    [Fact]
    public void Restore_WhenTheTwoDoNotBelongTogether_Refuses()
    {
        Should.Throw<ArgumentException>(() => FailureThrottle.Restore(3, null));
        Should.Throw<ArgumentException>(() => FailureThrottle.Restore(0, _at));
        Should.Throw<ArgumentOutOfRangeException>(() => FailureThrottle.Restore(-1, _at));
        FailureThrottle.Restore(0, null).ShouldBe(FailureThrottle.None);
    }

    [Fact]
    public void Failures_WhateverHappens_AreNeverMoreThanAHundredWithoutSuccess() =>
        _attempts.Sample(attempts =>
        {
            var tried = 0;
            var most = 0;
            Run(
                attempts,
                (before, after, at, fails) =>
                {
                    if (before.LockedUntil(at) is null)
                    {
                        tried = fails ? tried + 1 : 0;
                    }
                    most = Math.Max(most, tried);
                    after.InARow.ShouldBe(tried);
                }
            );
            return most <= FailureThrottle.FailuresToStop;
        });

    [Fact]
    public void ShutDoor_WhateverHappens_KeepsItsState() =>
        _attempts.Sample(attempts =>
            Run(
                attempts,
                (before, after, at, _) =>
                {
                    if (before.LockedUntil(at) is { } until)
                    {
                        after.ShouldBe(before);
                        until.ShouldBeGreaterThan(at);
                        (until == DateTimeOffset.MaxValue || until - before.LastFailedAt <= FailureThrottle.LongestLock).ShouldBeTrue();
                    }
                }
            )
        );

    [Fact]
    public void Throttle_WhenStoredAndRestored_IsTheSame() =>
        _attempts.Sample(attempts =>
            Run(attempts, (_, after, _, _) => FailureThrottle.Restore(after.InARow, after.LastFailedAt).ShouldBe(after))
        );

    [Fact]
    public void Guesses_WithinADay_AreFew()
    {
        // Somebody who tries every second, day and night.
        var throttle = FailureThrottle.None;
        for (var at = _at; at < _at.AddDays(1); at = at.AddSeconds(1))
        {
            throttle = throttle.AfterFailure(at);
        }

        // 75 minutes for the first 20 failures, then five an hour until a hundred.
        throttle.InARow.ShouldBe(100);
        throttle.LastFailedAt!.Value.ShouldBeGreaterThan(_at.AddHours(16));
    }

    private static FailureThrottle FailuresAsSoonAsPossible(int failures, out DateTimeOffset last)
    {
        var throttle = FailureThrottle.None;
        last = _at;
        for (var i = 0; i < failures; i++)
        {
            last = throttle.LockedUntil(last.AddSeconds(1)) ?? last.AddSeconds(1);
            throttle = throttle.AfterFailure(last);
        }
        return throttle;
    }

    private static void Run(List<(int Seconds, bool Fails)> attempts, Action<FailureThrottle, FailureThrottle, DateTimeOffset, bool> look)
    {
        var throttle = FailureThrottle.None;
        var at = _at;
        foreach (var (seconds, fails) in attempts)
        {
            at = at.AddSeconds(seconds);
            var after = fails ? throttle.AfterFailure(at) : throttle.AfterSuccess(at);
            look(throttle, after, at, fails);
            throttle = after;
        }
    }
}
