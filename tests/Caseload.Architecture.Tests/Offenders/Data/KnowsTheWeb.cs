using Caseload.Web.Ui;
using MudBlazor;

namespace Caseload.Architecture.Tests.Offenders.Data;

internal static class FormatsForTheScreen
{
    internal static async Task<string> DayAsync(DateOnly on)
    {
        await Task.Yield();
        return Dates.Full(on);
    }
}

internal static class StoresATheme
{
    internal static MudTheme Theme { get; } = new();
}
