using System.Globalization;
using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

/// <summary>
/// Months until breast retraction: last visit without it and first visit with it, a point when it had not come.
/// Finkelstein and Wolfe, Biometrics 41 (1985) 933; read in two public copies that agree, one of them data/cosmesis.tab of the R package Icens.
/// </summary>
internal static class BreastCosmesis
{
    /// <summary>Radiotherapy only, 46 patients.</summary>
    internal static IReadOnlyList<EventInterval> Radiotherapy { get; } =
        Parse(
            """
            45 .   25 37  37 .   6 10   46 .   0 5    0 7    26 40  18 .
            46 .   46 .   24 .   46 .   27 34  36 .   7 16   36 44  5 11
            17 .   46 .   19 35  7 14   36 48  17 25  37 44  37 .   24 .
            0 8    40 .   32 .   4 11   17 25  33 .   15 .   46 .   19 26
            11 15  11 18  37 .   22 .   38 .   34 .   46 .   5 12   36 .
            46 .
            """
        );

    /// <summary>Radiotherapy and chemotherapy, 48 patients.</summary>
    internal static IReadOnlyList<EventInterval> WithChemotherapy { get; } =
        Parse(
            """
            8 12   0 5    30 34  0 22   5 8    13 .   24 31  12 20  10 17
            17 27  11 .   8 21   17 23  33 40  4 9    24 30  31 .   11 .
            16 24  13 39  14 19  13 .   19 32  4 8    11 13  34 .   34 .
            16 20  13 .   30 36  18 25  16 24  18 24  17 26  35 .   16 60
            32 .   15 22  35 39  23 .   11 17  21 .   44 48  22 32  11 20
            14 17  10 35  48 .
            """
        );

    private static List<EventInterval> Parse(string text)
    {
        var words = text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
        return
        [
            .. words
                .Chunk(2)
                .Select(pair => new EventInterval(
                    double.Parse(pair[0], CultureInfo.InvariantCulture),
                    pair[1] == "." ? null : double.Parse(pair[1], CultureInfo.InvariantCulture)
                )),
        ];
    }
}
