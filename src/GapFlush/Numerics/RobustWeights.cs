namespace GapFlush.Numerics;

/// <summary>Weights of a robust fit, and the scale of residuals.</summary>
public static class RobustWeights
{
    /// <summary>Huber's constant: 95 % efficiency on normal data.</summary>
    public const double HuberK = 1.345;

    /// <summary>Tukey's constant: 95 % efficiency on normal data.</summary>
    public const double TukeyC = 4.685;

    /// <summary>The median of absolute normal deviates with standard deviation 1, to the four digits that practice uses.</summary>
    public const double NormalMedian = 0.6745;

    /// <summary>The weight of a residual, from 1 at zero down.</summary>
    public static double Of(RobustLoss loss, double residual, double scale)
    {
        double u = Math.Abs(residual) / scale;
        if (loss == RobustLoss.Huber) return u <= HuberK ? 1 : HuberK / u;
        double v = u / TukeyC;
        return u < TukeyC ? (1 - v * v) * (1 - v * v) : 0;
    }

    /// <summary>Scale of residuals about zero: median absolute value over 0.6745.</summary>
    /// <exception cref="ArgumentException">There are no residuals.</exception>
    public static double Scale(ReadOnlySpan<double> residuals)
    {
        if (residuals.IsEmpty) throw new ArgumentException("The scale of no residuals is not defined.", nameof(residuals));
        double[] sizes = new double[residuals.Length];
        for (int i = 0; i < sizes.Length; i++) sizes[i] = Math.Abs(residuals[i]);
        return Selection.Median(sizes) / NormalMedian;
    }
}
