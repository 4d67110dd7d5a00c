using Caseload.Data;

namespace Caseload.Architecture.Tests.Offenders.Handlers;

internal class OpenHandler
{
    public Task<int> HandleAsync(Actor actor, CancellationToken ct) => Task.FromResult(actor.DisplayName.Length);
}

internal sealed class TwoDoorsHandler
{
    public Task<int> HandleAsync(Actor actor, CancellationToken ct) => Task.FromResult(1);

    public Task<int> HandleAsync(Actor actor, int request, CancellationToken ct) => Task.FromResult(2);
}

internal sealed class OddlyNamedHandler
{
    public Task<int> RunAsync(Actor actor, CancellationToken ct) => Task.FromResult(1);
}

internal sealed class WithoutActorHandler
{
    public Task<int> HandleAsync(int request, CancellationToken ct) => Task.FromResult(request);
}

internal sealed class WithoutTokenHandler
{
    public Task<int> HandleAsync(Actor actor, int request) => Task.FromResult(request);
}

internal sealed class HungryHandler(int one, int two, int three, int four, int five, int six)
{
    public Task<int> HandleAsync(Actor actor, CancellationToken ct) => Task.FromResult(one + two + three + four + five + six);
}

internal sealed class AsksAnotherHandler(OpenHandler other)
{
    public Task<int> HandleAsync(Actor actor, CancellationToken ct) => other.HandleAsync(actor, ct);
}

internal sealed class MakesAnotherHandler
{
    public async Task<int> HandleAsync(Actor actor, CancellationToken ct)
    {
        await Task.Yield();
        return await new OpenHandler().HandleAsync(actor, ct);
    }
}
