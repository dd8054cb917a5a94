using System.Globalization;

namespace GapFlush.Decisions;

/// <summary>How figures stand in running text.</summary>
public static class Figures
{
    /// <summary>Two decimals; more where they would hide all there is (0.0004, not 0.00), or where the number is given finer (a limit of 0.125).</summary>
    public static string Text(double value)
    {
        if (value == 0) return "0.00";
        double size = Math.Abs(value);
        int decimals = size >= 0.095 ? 2 : Math.Min(9, (int)Math.Ceiling(-Math.Log10(size)) + 1);
        // Up to three decimals are shown where that is the number itself and not a rounding of it.
        if (decimals == 2 && Math.Abs(Math.Round(value, 3) - value) < 1e-9 && Math.Abs(Math.Round(value, 2) - value) > 1e-9) decimals = 3;
        return Math.Round(value, decimals).ToString("0.00#######", CultureInfo.InvariantCulture);
    }
}
