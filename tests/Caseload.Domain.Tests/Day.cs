using System.Globalization;
using Caseload.Domain.Ages;

namespace Caseload.Domain.Tests;

/// <summary>Dates as tests write them.</summary>
internal static class Day
{
    /// <summary>A date from its ISO form.</summary>
    internal static DateOnly Of(string iso) => DateOnly.ParseExact(iso, "yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>A date in its ISO form.</summary>
    internal static string Iso(DateOnly on) => on.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}

/// <summary>Births as tests need them.</summary>
internal static class Births
{
    /// <summary>A birth with gestation in weeks and days.</summary>
    internal static BirthFacts Of(DateOnly bornOn, int weeks, int days) =>
        BirthFacts.Create(bornOn, GestationalAge.Create(weeks, days).Value, null, bornOn).Value;

    /// <summary>A birth of unknown gestation.</summary>
    internal static BirthFacts Unknown(DateOnly bornOn) => BirthFacts.Create(bornOn, null, null, bornOn).Value;
}
