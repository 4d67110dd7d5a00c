namespace Caseload.Domain.Statistics;

/// <summary>How many standard errors a confidence reaches to each side of an estimate.</summary>
/// <remarks>
/// Rational approximations of the normal quantile after Wichura, Applied Statistics 37 (1988) 477, algorithm AS 241, without its
/// far tail, which no confidence allowed here reaches. The relative error is below 1e-15.
/// </remarks>
internal static class NormalQuantile
{
    /// <summary>The largest confidence that can be asked for.</summary>
    internal const double MostConfidence = 0.9999;

    private static readonly double[] _centralTop =
    [
        2.5090809287301226727e3,
        3.3430575583588128105e4,
        6.7265770927008700853e4,
        4.5921953931549871457e4,
        1.3731693765509461125e4,
        1.9715909503065514427e3,
        1.3314166789178437745e2,
        3.3871328727963666080e0,
    ];

    private static readonly double[] _centralBottom =
    [
        5.2264952788528545610e3,
        2.8729085735721942674e4,
        3.9307895800092710610e4,
        2.1213794301586595867e4,
        5.3941960214247511077e3,
        6.8718700749205790830e2,
        4.2313330701600911252e1,
        1,
    ];

    private static readonly double[] _tailTop =
    [
        7.74545014278341407640e-4,
        2.27238449892691845833e-2,
        2.41780725177450611770e-1,
        1.27045825245236838258e0,
        3.64784832476320460504e0,
        5.76949722146069140550e0,
        4.63033784615654529590e0,
        1.42343711074968357734e0,
    ];

    private static readonly double[] _tailBottom =
    [
        1.05075007164441684324e-9,
        5.47593808499534494600e-4,
        1.51986665636164571966e-2,
        1.48103976427480074590e-1,
        6.89767334985100004550e-1,
        1.67638483018380384940e0,
        2.05319162663775882187e0,
        1,
    ];

    /// <summary>The z for which a normal variable lies between −z and z with the given probability.</summary>
    /// <param name="confidence">More than 0 and at most <see cref="MostConfidence"/>.</param>
    /// <exception cref="ArgumentOutOfRangeException">The confidence lies outside.</exception>
    internal static double TwoSided(double confidence)
    {
        Check(confidence);
        var half = confidence / 2;
        if (half <= 0.425)
        {
            var square = 0.180625 - half * half;
            return half * Polynomial(_centralTop, square) / Polynomial(_centralBottom, square);
        }
        var far = Math.Sqrt(-Math.Log(0.5 - half)) - 1.6;
        return Polynomial(_tailTop, far) / Polynomial(_tailBottom, far);
    }

    /// <summary>Refuses a confidence that is not more than 0 and at most <see cref="MostConfidence"/>.</summary>
    internal static void Check(double confidence)
    {
        if (confidence is not (> 0 and <= MostConfidence))
        {
            throw new ArgumentOutOfRangeException(nameof(confidence), confidence, "A confidence is more than 0 and at most 0.9999.");
        }
    }

    private static double Polynomial(double[] fromHighest, double at)
    {
        var value = 0.0;
        foreach (var coefficient in fromHighest)
        {
            value = value * at + coefficient;
        }
        return value;
    }
}
