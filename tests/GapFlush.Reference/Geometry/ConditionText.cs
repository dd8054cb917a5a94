using System.Globalization;

namespace GapFlush.Reference.Geometry;

/// <summary>A condition as the check files write it: three significant digits, or "unbounded".</summary>
internal static class ConditionText
{
    public static string Of(double condition)
    {
        if (double.IsInfinity(condition)) return "unbounded";
        string scientific = condition.ToString("0.00e+00", CultureInfo.InvariantCulture);
        return scientific.EndsWith("e+00", StringComparison.Ordinal) || scientific.EndsWith("e+01", StringComparison.Ordinal) || scientific.EndsWith("e+02", StringComparison.Ordinal)
            ? double.Parse(scientific, CultureInfo.InvariantCulture).ToString(CultureInfo.InvariantCulture)
            : scientific.Replace("0e", "e", StringComparison.Ordinal).Replace(".0e", "e", StringComparison.Ordinal);
    }
}
