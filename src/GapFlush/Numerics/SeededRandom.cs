using System.Numerics;

namespace GapFlush.Numerics;

/// <summary>Random numbers from a seed: the same sequence on every machine and runtime.</summary>
/// <remarks>
/// <para>Method: xoshiro256** seeded through SplitMix64; normal deviates by the polar method.</para>
/// <para>Not for secrets. One instance belongs to one thread.</para>
/// <para>Source: D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators", ACM Trans. Math. Softw. 47 (2021);
/// G. Marsaglia and T. Bray, SIAM Review 6 (1964) [both from memory].</para>
/// </remarks>
public sealed class SeededRandom
{
    private ulong _s0, _s1, _s2, _s3;
    private double? _spare;

    /// <summary>Starts a sequence; equal seeds give equal sequences.</summary>
    public SeededRandom(ulong seed)
    {
        (_s0, _s1, _s2, _s3) = (Next(ref seed), Next(ref seed), Next(ref seed), Next(ref seed));

        static ulong Next(ref ulong state)
        {
            ulong z = state += 0x9E3779B97F4A7C15;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return z ^ (z >> 31);
        }
    }

    /// <summary>64 random bits.</summary>
    public ulong Bits()
    {
        ulong result = BitOperations.RotateLeft(_s1 * 5, 7) * 9, t = _s1 << 17;
        _s2 ^= _s0;
        _s3 ^= _s1;
        _s1 ^= _s2;
        _s0 ^= _s3;
        _s2 ^= t;
        _s3 = BitOperations.RotateLeft(_s3, 45);
        return result;
    }

    /// <summary>Uniform on [0, 1).</summary>
    public double Unit() => (Bits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Uniform on [<paramref name="low"/>, <paramref name="high"/>).</summary>
    public double Between(double low, double high) => low + (high - low) * Unit();

    /// <summary>A whole number from 0 up to, but not including, <paramref name="count"/>.</summary>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="count"/> is not positive.</exception>
    public int Below(int count)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(count);
        return (int)(Unit() * count);
    }

    /// <summary>A normal deviate with mean 0 and standard deviation 1.</summary>
    public double Normal()
    {
        if (_spare is double spare)
        {
            _spare = null;
            return spare;
        }
        double u, v, s;
        do
        {
            (u, v) = (Between(-1, 1), Between(-1, 1));
            s = u * u + v * v;
        }
        while (s is >= 1 or 0);
        double f = Math.Sqrt(-2 * Math.Log(s) / s);
        _spare = v * f;
        return u * f;
    }

    /// <summary>A normal deviate with the given mean and standard deviation.</summary>
    public double Normal(double mean, double sd) => mean + sd * Normal();

    /// <summary>A chi-square deviate with any positive degrees of freedom.</summary>
    /// <remarks>Source: G. Marsaglia and W. W. Tsang, ACM Trans. Math. Softw. 26 (2000) 363 [from memory].</remarks>
    /// <exception cref="ArgumentOutOfRangeException">Degrees of freedom are not positive.</exception>
    public double ChiSquare(double degreesOfFreedom)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(degreesOfFreedom);
        double shape = degreesOfFreedom / 2;
        if (shape < 1) return ChiSquare(degreesOfFreedom + 2) * Math.Pow(1 - Unit(), 1 / shape);
        double d = shape - 1.0 / 3, c = 1 / Math.Sqrt(9 * d);
        while (true)
        {
            double x = Normal(), v = 1 + c * x;
            if (v <= 0) continue;
            v = v * v * v;
            if (Math.Log(1 - Unit()) < 0.5 * x * x + d - d * v + d * Math.Log(v)) return 2 * d * v;
        }
    }
}
