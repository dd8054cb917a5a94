using GapFlush.Numerics;

namespace GapFlush.Registration;

/// <summary>Six movements from edges and skin whose errors hang together: edges wave and skins bulge, so that neighbours are off by much the same and many rows say little more than a few.</summary>
/// <remarks>
/// <para>Method: two answers. One by generalised least squares under each supposition of the form out of a grid (<see cref="FormSupposition"/>), each counting by its restricted likelihood to the power of 0.3; it is the
/// sharper one, but builds on the supposition. The other by plain least squares, its covariance from the suppositions without a wavelength; it is blunter, and careful.
/// The sharp one counts 0.7, the careful one 0.3; what they differ by, and what the answers of the grid differ by, stands in the covariance. METHOD.md, eq. 13.</para>
/// <para>No answer (null): the six movements are not held.</para>
/// <para>Accuracy: made forms (waves, bumps, a skin of another curvature) put no place of a door more than 3.5 stated standard uncertainties off, a whole side that lies out 3.8 (FormErrorsTests).</para>
/// <para>Source: restricted likelihood, H. D. Patterson and R. Thompson, Biometrika 58 (1971) 545 [from memory]. A likelihood to a power: J. W. Miller and D. B. Dunson, J. Am. Stat. Assoc. 114 (2019) 1113 [from memory]. How much of it, and how much each answer counts, is a judgement from made forms, no source.</para>
/// </remarks>
/// <param name="Movements">The six.</param>
/// <param name="Covariance">Theirs.</param>
/// <param name="Pieces">As how many places without shared form each kind holds a mean.</param>
internal sealed record FormErrors(double[] Movements, double[,] Covariance, IReadOnlyList<double> Pieces)
{
    private const double Sharp = 0.7;

    // Of the evidence that the rows give of their form, how much is believed: no supposition is quite true, and believed in full the likeliest would drown others that are as good.
    private const double Believed = 0.3;

    // Suppositions that are less likely by more than e to the fifth change nothing.
    private const double Unlikely = 5;

    private const double LeastSdMm = 0.002;

    private const int Rounds = 6, Count = FormSupposition.Count;

    /// <summary>Finds the movements.</summary>
    /// <param name="first">Rows of one kind, none where there are none of it.</param>
    /// <param name="second">Rows of the other.</param>
    public static FormErrors? Settle(IReadOnlyList<FormSupposition.Row> first, IReadOnlyList<FormSupposition.Row> second)
    {
        (FormSupposition[] one, FormSupposition[] two) = (FormSupposition.Of(first), FormSupposition.Of(second));
        if (one.Length == 0) (one, two) = (two, one);
        if (one.Length == 0) return null;
        if (two.Length == 0) two = [FormSupposition.Nothing];
        List<Answer> all = Likely(one, two), careful = Likely([.. one.Where(s => s.IsBroad)], [.. two.Where(s => s.IsBroad)]);
        if (all.Count == 0 || careful.Count == 0 || Plain(one[0], two[0]) is not (double[] x, double[,] inverse)) return null;
        List<Part> parts = [.. Shares(all).Select(s => new Part(Sharp * s.Share, s.Of.X, s.Of.Covariance)), .. Shares(careful).Select(s => new Part((1 - Sharp) * s.Share, x, s.Of.Plain(inverse)))];
        double[] mean = new double[Count];
        double[,] spread = new double[Count, Count];
        foreach ((double weight, double[] at, _) in parts)
            for (int i = 0; i < Count; i++) mean[i] += weight * at[i];
        foreach ((double weight, double[] at, double[,] covariance) in parts)
        {
            for (int i = 0; i < Count; i++)
                for (int k = 0; k < Count; k++) spread[i, k] += weight * (covariance[i, k] + (at[i] - mean[i]) * (at[k] - mean[k]));
        }
        double[] pieces = [Shares(all).Sum(s => s.Share * s.Of.One.Pieces), Shares(all).Sum(s => s.Share * s.Of.Two.Pieces)];
        return new(mean, spread, first.Count > 0 ? pieces : [0, pieces[0]]);
    }

    // One supposition of either kind, with the variances of the kinds that are likeliest under it.
    private sealed record Answer(double Log, double[] X, double[,] Covariance, FormSupposition One, FormSupposition Two, double ScaleOne, double ScaleTwo)
    {
        /// <summary>Covariance of plain least squares with all rows alike, if this is what the form is like.</summary>
        public double[,] Plain(double[,] inverse)
        {
            double[,] meat = new double[Count, Count];
            for (int i = 0; i < Count; i++)
                for (int k = 0; k < Count; k++) meat[i, k] = ScaleOne * One.Meat[i, k] + ScaleTwo * Two.Meat[i, k];
            return Cholesky.Sandwich(inverse, meat);
        }
    }

    // What is added up, an answer with its share, and a supposition with its likelihood: classes, whose collections come compiled with the framework.
    private sealed record Part(double Weight, double[] X, double[,] Covariance);

    private sealed record Shared(double Share, Answer Of);

    private sealed record Judged(FormSupposition Of, double Log);

    private static IEnumerable<Shared> Shares(List<Answer> answers)
    {
        double most = answers.Max(a => a.Log), sum = answers.Sum(a => Math.Exp(Believed * (a.Log - most)));
        return answers.Select(a => new Shared(Math.Exp(Believed * (a.Log - most)) / sum, a));
    }

    // The suppositions of one kind beside the likeliest of the other, and all pairs of those that are likely at all.
    private static List<Answer> Likely(FormSupposition[] one, FormSupposition[] two)
    {
        (FormSupposition a, FormSupposition b) = (one[0], two[0]);
        Judged[] ones = [], twos = [];
        for (int sweep = 0; sweep < 2; sweep++)
        {
            (FormSupposition first, FormSupposition second) = (a, b);
            ones = [.. one.Select(s => new Judged(s, Solve(s, second)?.Log ?? double.NegativeInfinity))];
            a = first = ones.MaxBy(s => s.Log)!.Of;
            twos = [.. two.Select(s => new Judged(s, Solve(first, s)?.Log ?? double.NegativeInfinity))];
            b = twos.MaxBy(s => s.Log)!.Of;
        }
        (double mostOne, double mostTwo) = (ones.Max(s => s.Log), twos.Max(s => s.Log));
        return [.. ones.Where(s => s.Log > mostOne - Unlikely).SelectMany(s => twos.Where(t => t.Log > mostTwo - Unlikely).Select(t => Solve(s.Of, t.Of))).OfType<Answer>()];
    }

    private static (double[] X, double[,] Inverse)? Plain(FormSupposition one, FormSupposition two)
    {
        double[,] n = new double[Count, Count];
        double[] g = new double[Count];
        Add(one, 1, n, g);
        Add(two, 1, n, g);
        return Cholesky.Factor(n) is double[,] factor ? (Cholesky.Solve(factor, g), Cholesky.Inverse(factor)) : null;
    }

    private static void Add(FormSupposition s, double scale, double[,] n, double[] g)
    {
        for (int i = 0; i < Count; i++)
        {
            g[i] -= s.B[i] / scale;
            for (int k = 0; k < Count; k++) n[i, k] += s.A[i, k] / scale;
        }
    }

    // The kinds' variances that are likeliest, the movements, their covariance, and the logarithm of the restricted likelihood.
    private static Answer? Solve(FormSupposition one, FormSupposition two)
    {
        (double scaleOne, double scaleTwo) = (1e-4, 1e-4);
        for (int round = 0; ; round++)
        {
            double[,] n = new double[Count, Count];
            double[] g = new double[Count];
            Add(one, scaleOne, n, g);
            Add(two, scaleTwo, n, g);
            if (Cholesky.Factor(n) is not double[,] factor) return null;
            (double[] x, double[,] inverse) = (Cholesky.Solve(factor, g), Cholesky.Inverse(factor));
            ((double leftOne, double heldOne), (double leftTwo, double heldTwo)) = (Left(one, x, inverse, scaleOne), Left(two, x, inverse, scaleTwo));
            if (round == Rounds)
            {
                double log = -0.5 * (one.Rows * Math.Log(scaleOne) + one.LogDet + leftOne / scaleOne + two.Rows * Math.Log(scaleTwo) + two.LogDet + leftTwo / scaleTwo);
                for (int i = 0; i < Count; i++) log -= Math.Log(factor[i, i]);
                return new(log, x, inverse, one, two, scaleOne, scaleTwo);
            }
            (scaleOne, scaleTwo) = (Scale(one, leftOne, heldOne), Scale(two, leftTwo, heldTwo));
        }

        static double Scale(FormSupposition s, double left, double held) => s.Rows == 0 ? 1 : Math.Max(LeastSdMm * LeastSdMm, left / Math.Max(s.Rows - held, 0.2 * s.Rows));
    }

    // The weighted square of what is left, and how many of the six movements these rows took up.
    private static (double Left, double Held) Left(FormSupposition s, double[] x, double[,] inverse, double scale)
    {
        double left = s.C, held = 0;
        for (int i = 0; i < Count; i++)
        {
            left += 2 * x[i] * s.B[i];
            for (int k = 0; k < Count; k++)
            {
                left += x[i] * s.A[i, k] * x[k];
                held += inverse[i, k] * s.A[i, k] / scale;
            }
        }
        return (left, held);
    }
}
