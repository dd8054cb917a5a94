using System.Globalization;
using GapFlush.Numerics;

namespace GapFlush.Tests.Numerics;

/// <summary>Distribution functions held to R 4.2.2 (fixtures/numerics/make_distribution_values.R) and, for the
/// noncentral t, to mpmath (make_noncentral_t_values.py), over a grid with extreme tails.</summary>
public class DistributionTests
{
    public static TheoryData<string> Functions => [.. Rows().Select(r => r.Function).Distinct()];

    [Theory]
    [MemberData(nameof(Functions))]
    public void Values_agree_with_an_outside_program(string function)
    {
        List<string> wrong = [];
        int seen = 0;
        foreach ((string _, double[] a, double expected) in Rows().Where(r => r.Function == function))
        {
            double found = Compute(function, a), relative = Math.Abs(found - expected) / Math.Abs(expected);
            seen++;
            if (!(relative <= Allowed(function, a))) wrong.Add(Invariant($"({string.Join("; ", a)}): {found:R}, not {expected:R}, off by {relative:g2}"));
        }
        Assert.True(seen > 3);
        Assert.Empty(wrong);
    }

    // The input itself costs digits: a double p or t is off by 1e-16 of itself, which moves a tail by its steepness times that.
    private static double Allowed(string function, double[] a) => function switch
    {
        "normal_cdf" => 1e-12,
        "normal_quantile" => 1e-12,
        _ => 1e-9,
    };

    private static double Compute(string function, double[] a) => function switch
    {
        "normal_cdf" => NormalDistribution.Cdf(a[0]),
        "normal_quantile" => NormalDistribution.Quantile(a[0]),
        "t_upper" => StudentDistribution.UpperTail(a[0], a[1]),
        "t_upper_quantile" => StudentDistribution.UpperQuantile(a[0], a[1]),
        "chi2_lower" => ChiSquareDistribution.Cdf(a[0], a[1]),
        "chi2_upper" => ChiSquareDistribution.UpperTail(a[0], a[1]),
        "chi2_quantile" => ChiSquareDistribution.Quantile(a[0], a[1]),
        "f_upper" => FisherDistribution.UpperTail(a[0], a[1], a[2]),
        "f_quantile" => FisherDistribution.Quantile(a[0], a[1], a[2]),
        "nct_lower" => NoncentralTDistribution.Cdf(a[0], a[1], a[2]),
        "nct_upper" => NoncentralTDistribution.UpperTail(a[0], a[1], a[2]),
        _ => throw new ArgumentException(function),
    };

    private static IEnumerable<(string Function, double[] Arguments, double Value)> Rows() =>
        new[] { "distributions.csv", "noncentral-t.csv" }.SelectMany(file => File.ReadLines(Fixture.At("numerics", file)).Skip(1)).Select(line => line.Split(','))
            .Select(p => (p[0], p[1].Split(';').Select(v => double.Parse(v, CultureInfo.InvariantCulture)).ToArray(), double.Parse(p[2], CultureInfo.InvariantCulture)));

    [Fact]
    public void Inverting_the_noncentrality_gives_it_back() => Cases.Each(300, random =>
    {
        double nu = Math.Exp(random.Between(0, 9)), delta = random.Between(-10, 60), t = delta + random.Normal() * Math.Sqrt(1 + delta * delta / (2 * nu));
        double tail = NoncentralTDistribution.UpperTail(t, nu, delta);
        if (tail is < 1e-12 or > 1 - 1e-9) return;
        double found = NoncentralTDistribution.NoncentralityFor(t, nu, tail);
        Near.Absolute(delta, found, 1e-7 * (1 + Math.Abs(delta)));
        Near.Digits(tail, NoncentralTDistribution.UpperTail(t, nu, found), 10);
    });

    [Fact]
    public void The_noncentral_t_quantile_undoes_its_distribution_function() => Cases.Each(200, random =>
    {
        double nu = Math.Exp(random.Between(0, 8)), delta = random.Between(-5, 40), p = random.Between(0.001, 0.999);
        Near.Digits(p, NoncentralTDistribution.Cdf(NoncentralTDistribution.Quantile(p, nu, delta), nu, delta), 9);
    });

    [Fact]
    public void Quantiles_undo_their_distribution_functions() => Cases.Each(500, random =>
    {
        double p = Math.Pow(10, -random.Between(0.01, 40)), nu = Math.Exp(random.Between(0, 12)), other = Math.Exp(random.Between(0, 10));
        Near.Digits(p, NormalDistribution.UpperTail(NormalDistribution.UpperQuantile(p)), 11);
        Near.Digits(p, StudentDistribution.UpperTail(StudentDistribution.UpperQuantile(p, nu), nu), 9);
        Near.Digits(p, ChiSquareDistribution.Cdf(ChiSquareDistribution.Quantile(p, nu), nu), 9);
        Near.Digits(p, FisherDistribution.Cdf(FisherDistribution.Quantile(p, nu, other), nu, other), 9);
    });

    [Fact]
    public void Gauss_Legendre_rules_integrate_their_degree()
    {
        foreach (int n in new[] { 1, 2, 3, 7, 20, 64, 200 })
        {
            (double[] nodes, double[] weights) = GaussLegendre.Rule(n);
            Near.Absolute(2, weights.Sum(), 1e-13);
            double power = 2 * n - 2;
            Near.Absolute(2 / (power + 1), nodes.Zip(weights, (x, w) => w * Math.Pow(x, power)).Sum(), 1e-13);
        }
    }

    [Fact]
    public void Double_double_keeps_what_a_double_loses()
    {
        DoubleDouble third = (DoubleDouble)1 / 3, rest = third * 3 - 1;
        Near.Absolute(0, (double)rest, 1e-31);
        DoubleDouble root = DoubleDouble.Sqrt(2);
        Near.Absolute(0, (double)(root * root - 2), 1e-30);
        Near.Absolute(1e-20, (double)((DoubleDouble)1 + 1e-20 - 1), 1e-32);
    }
}
