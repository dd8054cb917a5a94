using GapFlush.Numerics;

namespace GapFlush.Measurements;

/// <summary>Sources of uncertainty put together as the GUM does: root of the sum of squares, effective degrees of freedom, coverage factor.</summary>
/// <remarks>
/// <para>Method: independent sources, METHOD.md eq. 1 to 4. Sources without any share, and those taken as known, do not lower the degrees of freedom.</para>
/// <para>Accuracy: 1e-9 relative against the reference group uncertainty, GUM example H.1 among it (ReferenceTests).</para>
/// <para>Source: JCGM 100:2008 (GUM), 5.1, G.4 and example H.1 [figures as given in open software; the document itself was not opened].</para>
/// </remarks>
public sealed record UncertaintyBudget
{
    /// <summary>From so many effective degrees of freedom on the coverage factor is 2; the t factor would be 2.05 there.</summary>
    public const int FreedomForFactorTwo = 50;

    /// <summary>The probability that goes with k = 2 for a normal distribution.</summary>
    public const double ProbabilityOfTwo = 0.9545;

    /// <summary>Puts sources together.</summary>
    /// <exception cref="ArgumentException">A share is negative or not a number, or degrees of freedom are not positive.</exception>
    public UncertaintyBudget(IReadOnlyList<UncertaintyComponent> components)
    {
        foreach (UncertaintyComponent c in components)
        {
            if (!(c.StandardUncertainty >= 0) || double.IsInfinity(c.StandardUncertainty)) throw new ArgumentException(Invariant($"{c.Source}: a standard uncertainty of {c.StandardUncertainty} is not possible."), nameof(components));
            if (!(c.DegreesOfFreedom > 0)) throw new ArgumentException(Invariant($"{c.Source}: {c.DegreesOfFreedom} degrees of freedom are not possible."), nameof(components));
        }
        Components = components;
        double squares = 0, sum = 0;
        foreach (UncertaintyComponent c in components) squares += c.StandardUncertainty * c.StandardUncertainty;
        StandardUncertainty = Math.Sqrt(squares);
        // Shares rather than fourth powers of the uncertainties themselves: 1e-90 to the fourth is nought.
        foreach (UncertaintyComponent c in components)
        {
            if (c.StandardUncertainty > 0 && !double.IsPositiveInfinity(c.DegreesOfFreedom)) sum += Math.Pow(c.StandardUncertainty / StandardUncertainty, 4) / c.DegreesOfFreedom;
        }
        EffectiveDegreesOfFreedom = sum > 0 ? 1 / sum : double.PositiveInfinity;
    }

    /// <summary>The sources, in the order given.</summary>
    public IReadOnlyList<UncertaintyComponent> Components { get; }

    /// <summary>Combined standard uncertainty.</summary>
    public double StandardUncertainty { get; }

    /// <summary>Effective degrees of freedom after Welch and Satterthwaite; infinite where no source lowers them.</summary>
    public double EffectiveDegreesOfFreedom { get; }

    /// <summary>The factor used for every stated expanded uncertainty: 2, or with fewer than <see cref="FreedomForFactorTwo"/> effective degrees of freedom
    /// the t factor for 95.45 % at the degrees of freedom rounded down.</summary>
    public double CoverageFactor => EffectiveDegreesOfFreedom >= FreedomForFactorTwo ? 2 : TFactor(ProbabilityOfTwo, TruncatedDegreesOfFreedom);

    /// <summary>The effective degrees of freedom rounded down, at least 1, as the GUM does for a table of t.</summary>
    public double TruncatedDegreesOfFreedom => Math.Max(1, Math.Floor(EffectiveDegreesOfFreedom));

    /// <summary>Which factor <see cref="CoverageFactor"/> is, in words.</summary>
    public string CoverageWords => EffectiveDegreesOfFreedom >= FreedomForFactorTwo ? "k = 2" : Invariant($"k = {CoverageFactor:0.00} (t factor for 95.45 %, {TruncatedDegreesOfFreedom:0} degrees of freedom)");

    /// <summary>A source's share of the combined variance, 0 to 1; 0 where there is no uncertainty at all.</summary>
    public double VarianceShare(UncertaintyComponent component) =>
        StandardUncertainty > 0 ? Math.Pow(component.StandardUncertainty / StandardUncertainty, 2) : 0;

    /// <summary>The factor for a two-sided interval of a coverage probability: Student's t at the degrees of freedom, normal where they are infinite.</summary>
    /// <param name="probability">Between 0 and 1.</param>
    /// <param name="degreesOfFreedom">At least some above 0; need not be whole.</param>
    public static double TFactor(double probability, double degreesOfFreedom) => double.IsPositiveInfinity(degreesOfFreedom)
        ? NormalDistribution.Quantile((1 + probability) / 2)
        : StudentDistribution.Quantile((1 + probability) / 2, degreesOfFreedom);
}
