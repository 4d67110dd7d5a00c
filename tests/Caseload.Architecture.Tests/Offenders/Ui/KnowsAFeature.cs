using Caseload.Web.Features.Due;

namespace Caseload.Architecture.Tests.Offenders.Ui;

internal static class KnowsAFeature
{
    internal static string TextOf(DueLine line) => line.Why;
}
