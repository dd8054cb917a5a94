namespace GapFlush.Numerics;

/// <summary>A number held as the unevaluated sum of two doubles: about 31 digits. For sums of squares about a mean and least squares with
/// nearly dependent columns, where a plain double keeps none of its digits.</summary>
/// <remarks>Source: T. J. Dekker, Numer. Math. 18 (1971) 224; D. E. Knuth, TAOCP 2, 4.2.2 [both from memory].</remarks>
internal readonly record struct DoubleDouble(double High, double Low)
{
    public static implicit operator DoubleDouble(double value) => new(value, 0);

    public static DoubleDouble operator +(DoubleDouble a, DoubleDouble b)
    {
        (double s, double e) = TwoSum(a.High, b.High);
        (double t, double f) = TwoSum(a.Low, b.Low);
        (s, e) = QuickSum(s, e + t);
        return Renormalized(s, e + f);
    }

    public static DoubleDouble operator -(DoubleDouble a) => new(-a.High, -a.Low);

    public static DoubleDouble operator -(DoubleDouble a, DoubleDouble b) => a + -b;

    public static DoubleDouble operator *(DoubleDouble a, DoubleDouble b)
    {
        double p = a.High * b.High, e = Math.FusedMultiplyAdd(a.High, b.High, -p);
        return Renormalized(p, e + (a.High * b.Low + a.Low * b.High));
    }

    public static DoubleDouble operator /(DoubleDouble a, DoubleDouble b)
    {
        double q1 = a.High / b.High;
        DoubleDouble r = a - b * q1;
        double q2 = r.High / b.High;
        r -= b * q2;
        double q3 = r.High / b.High;
        (double s, double e) = QuickSum(q1, q2);
        return new DoubleDouble(s, e) + q3;
    }

    public static explicit operator double(DoubleDouble value) => value.High + value.Low;

    public static DoubleDouble Sqrt(DoubleDouble a)
    {
        if (a.High <= 0) return 0;
        double x = 1 / Math.Sqrt(a.High), ax = a.High * x;
        return (DoubleDouble)ax + (a - (DoubleDouble)ax * ax).High * (x * 0.5);
    }

    private static (double Sum, double Error) TwoSum(double a, double b)
    {
        double s = a + b, v = s - a;
        return (s, a - (s - v) + (b - v));
    }

    private static (double Sum, double Error) QuickSum(double a, double b)
    {
        double s = a + b;
        return (s, b - (s - a));
    }

    private static DoubleDouble Renormalized(double a, double b)
    {
        (double s, double e) = QuickSum(a, b);
        return new(s, e);
    }
}
