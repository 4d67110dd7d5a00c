namespace Caseload.Architecture.Tests.Offenders.Features.Second;

internal sealed record SecondRow(int Count);
