using GapFlush.Plan;

namespace GapFlush.Seals;

/// <summary>How hard a length of seal pushes back at a compression: straight lines between the points of its data sheet.</summary>
/// <remarks>
/// <para>Below zero compression the seal does not touch and the load is zero. Between zero and the first point the curve starts at the origin unless the sheet gives a point at zero.
/// Beyond the last point the last line is carried on; <see cref="IsBeyond"/> tells when, and whoever shows the load must say so. METHOD.md eq. 2.</para>
/// </remarks>
public sealed class SealLoadCurve
{
    private readonly double[] _compression;
    private readonly double[] _load;

    /// <summary>Makes a curve from points of rising compression.</summary>
    /// <param name="seal">Name of the seal profile.</param>
    /// <param name="points">Compression, per cent of free height, and load, N per m.</param>
    /// <exception cref="ArgumentException">Fewer than two points, a compression that does not rise or is negative, a load that falls, or a number that is not finite.</exception>
    public SealLoadCurve(string seal, IReadOnlyList<(double CompressionPercent, double LoadNPerM)> points)
    {
        Seal = seal;
        List<(double C, double Q)> all = [.. points];
        if (all.Count > 0 && all[0].C > 0) all.Insert(0, (0, 0));
        if (all.Count < 2) throw new ArgumentException($"The load curve of seal {seal} needs at least two points.", nameof(points));
        for (int i = 0; i < all.Count; i++)
        {
            if (!double.IsFinite(all[i].C) || !double.IsFinite(all[i].Q) || all[i].C < 0)
                throw new ArgumentException(Invariant($"Point {i + 1} of the load curve of seal {seal} is ({all[i].C}, {all[i].Q}); finite numbers and no negative compression are allowed."), nameof(points));
            if (i > 0 && !(all[i].C > all[i - 1].C && all[i].Q >= all[i - 1].Q))
                throw new ArgumentException(Invariant($"The load curve of seal {seal} must rise: ({all[i].C}, {all[i].Q}) follows ({all[i - 1].C}, {all[i - 1].Q})."), nameof(points));
        }
        _compression = [.. all.Select(p => p.C)];
        _load = [.. all.Select(p => p.Q)];
    }

    /// <summary>Name of the seal profile.</summary>
    public string Seal { get; }

    /// <summary>Compressions at which the line bends, per cent, rising.</summary>
    public ReadOnlySpan<double> Bends => _compression;

    /// <summary>The largest compression of the data sheet, per cent.</summary>
    public double LastPercent => _compression[^1];

    /// <summary>The curves of a plan's <c>seal-curves.csv</c>, by seal name.</summary>
    public static IReadOnlyDictionary<string, SealLoadCurve> FromPlan(IEnumerable<SealLoadPoint> points) =>
        points.GroupBy(p => p.Seal).ToDictionary(g => g.Key, g => new SealLoadCurve(g.Key, [.. g.Select(p => (p.CompressionPercent, p.LoadNPerM))]));

    /// <summary>Load at a compression, N per m.</summary>
    public double LoadNPerM(double compressionPercent)
    {
        if (compressionPercent <= 0) return 0;
        int i = Segment(compressionPercent);
        return _load[i] + (compressionPercent - _compression[i]) * Slope(i);
    }

    /// <summary>Change of load with compression, N per m and per cent; at a bend that of the line above it, zero below zero compression.</summary>
    public double SlopeNPerMPerPercent(double compressionPercent) => compressionPercent < 0 ? 0 : Slope(Segment(compressionPercent));

    /// <summary>True where the data sheet ends below this compression, so that the load is carried on, not known.</summary>
    public bool IsBeyond(double compressionPercent) => compressionPercent > LastPercent;

    private int Segment(double compression)
    {
        int i = 0;
        while (i < _compression.Length - 2 && compression >= _compression[i + 1]) i++;
        return i;
    }

    private double Slope(int i) => (_load[i + 1] - _load[i]) / (_compression[i + 1] - _compression[i]);
}
