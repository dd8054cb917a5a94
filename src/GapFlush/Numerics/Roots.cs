namespace GapFlush.Numerics;

/// <summary>Roots of monotone or bracketed functions of one variable.</summary>
public static class Roots
{
    private const int MostSteps = 300;

    /// <summary>The root of a function between two points where its sign differs, to the last bits (Brent's method).</summary>
    /// <param name="function">The function.</param>
    /// <param name="low">One end.</param>
    /// <param name="high">The other end.</param>
    /// <param name="tolerance">Absolute width at which to stop, besides a few units in the last place.</param>
    /// <exception cref="ArgumentException">The sign is the same at both ends, or a value is not a number.</exception>
    /// <remarks>Source: R. P. Brent, Algorithms for Minimization without Derivatives (1973), chapter 4 [from memory].</remarks>
    public static double Between(Func<double, double> function, double low, double high, double tolerance = 0)
    {
        double a = low, b = high, fa = function(a), fb = function(b);
        if (fa == 0) return a;
        if (fb == 0) return b;
        if (!(Math.Sign(fa) * Math.Sign(fb) < 0)) throw new ArgumentException(Invariant($"No change of sign between {low:R} ({fa:R}) and {high:R} ({fb:R})."));
        double c = a, fc = fa, d = b - a, e = d;
        for (int i = 0; i < MostSteps; i++)
        {
            if (Math.Abs(fc) < Math.Abs(fb)) (a, b, c, fa, fb, fc) = (b, c, b, fb, fc, fb);
            double slack = 2 * double.Epsilon + 2.2e-16 * Math.Abs(b) + tolerance / 2, half = (c - b) / 2;
            if (Math.Abs(half) <= slack || fb == 0) return b;
            if (Math.Abs(e) >= slack && Math.Abs(fa) > Math.Abs(fb))
            {
                double s = fb / fa, p, q;
                if (a == c) (p, q) = (2 * half * s, 1 - s);
                else
                {
                    double r = fb / fc;
                    q = fa / fc;
                    p = s * (2 * half * q * (q - r) - (b - a) * (r - 1));
                    q = (q - 1) * (r - 1) * (s - 1);
                }
                if (p > 0) q = -q;
                p = Math.Abs(p);
                if (2 * p < Math.Min(3 * half * q - Math.Abs(slack * q), Math.Abs(e * q))) (e, d) = (d, p / q);
                else (d, e) = (half, half);
            }
            else (d, e) = (half, half);
            (a, fa) = (b, fb);
            b += Math.Abs(d) > slack ? d : Math.CopySign(slack, half);
            fb = function(b);
            if (Math.Sign(fb) == Math.Sign(fc)) (c, fc, d, e) = (a, fa, b - a, b - a);
        }
        return b;
    }

    /// <summary>The root of a monotone function by Newton's method, kept inside a bracket that shrinks with every step.</summary>
    /// <param name="function">Gives the value and the slope.</param>
    /// <param name="start">Where to start.</param>
    /// <param name="low">Lower end of the bracket.</param>
    /// <param name="high">Upper end of the bracket.</param>
    /// <param name="rising">True when the function rises.</param>
    /// <remarks>A step that would leave the bracket is replaced by halving it. Stops when a step is below a few units in the last place.</remarks>
    public static double Newton(Func<double, (double Value, double Slope)> function, double start, double low, double high, bool rising)
    {
        double x = Math.Clamp(double.IsFinite(start) ? start : (low + high) / 2, low, high), last = double.PositiveInfinity;
        for (int i = 0; i < MostSteps; i++)
        {
            (double value, double slope) = function(x);
            if (value == 0) return x;
            if (value > 0 == rising) high = x; else low = x;
            double next = x - value / slope;
            if (!(next > low && next < high) || Math.Abs(next - x) > 0.75 * last) next = (low + high) / 2;
            double before = last;
            last = Math.Abs(next - x);
            // Newton doubles the digits with every step: after a step of 1e-9 the next would be below rounding.
            bool settled = last <= 1e-9 * Math.Abs(x) && i > 1 && last < 1e-3 * before || last <= 4e-16 * Math.Abs(x) || next == x || high - low <= 4e-16 * Math.Abs(x);
            x = next;
            if (settled) return x;
        }
        return x;
    }
}
