namespace GapFlush.Drainage;

/// <summary>Finds where a function crosses zero.</summary>
internal static class Root
{
    /// <summary>The crossing between two places at which the function has unlike signs.</summary>
    /// <param name="function">The function.</param>
    /// <param name="low">One place.</param>
    /// <param name="high">The other.</param>
    /// <param name="relative">How near, as a share of the place; down to neighbouring numbers where not given.</param>
    /// <remarks>T. R. Chandrupatla, Adv. Eng. Software 28 (1997) 145 [from memory]: inverse quadratic steps where they are safe, bisection elsewhere.</remarks>
    public static double Between(Func<double, double> function, double low, double high, double relative = 4.5e-16)
    {
        double a = high, b = low, fa = function(a), fb = function(b), c, fc, t = 0.5;
        if (fa == 0) return a;
        if (fb == 0) return b;
        for (int i = 0; i < 200; i++)
        {
            double x = a + t * (b - a), fx = function(x);
            if ((fx < 0) == (fa < 0)) (c, fc) = (a, fa);
            else (c, fc, b, fb) = (b, fb, a, fa);
            (a, fa) = (x, fx);
            double best = Math.Abs(fa) < Math.Abs(fb) ? a : b;
            double share = relative * Math.Abs(best) / Math.Abs(b - a);
            if (share > 0.5 || fa == 0 || fb == 0) return fa == 0 ? a : fb == 0 ? b : best;
            double xi = (a - b) / (c - b), phi = (fa - fb) / (fc - fb);
            t = phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi
                ? fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
                : 0.5;
            t = Math.Clamp(t, share, 1 - share);
        }
        return Math.Abs(fa) < Math.Abs(fb) ? a : b;
    }
}
