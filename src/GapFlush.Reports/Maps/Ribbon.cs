using GapFlush.Decisions;
using GapFlush.Plan;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Maps;

/// <summary>One limit ribbon: a band beside the seam whose edges are the limits, whatever they are in mm, so that one width is one tolerance everywhere.</summary>
internal sealed class Ribbon
{
    /// <summary>How far beyond an edge a value is still drawn, in ribbon widths; further out it is pinned there with an arrow.</summary>
    public const double Beyond = 0.3;

    private readonly Place[] _lowSide, _highSide;
    private readonly ResultRow?[] _rows;

    /// <summary>Lays a ribbon beside the seam; values grow outward.</summary>
    /// <param name="seam">The seam.</param>
    /// <param name="characteristic">What is drawn.</param>
    /// <param name="rows">The row of each station, null where there is none.</param>
    /// <param name="inner">Signed distance of its inner edge from the seam, mm, positive outside.</param>
    /// <param name="outer">Signed distance of its outer edge.</param>
    public Ribbon(SeamOnPage seam, Characteristic characteristic, IReadOnlyList<ResultRow?> rows, double inner, double outer)
    {
        Characteristic = characteristic;
        _rows = [.. rows];
        _lowSide = seam.Beside(inner);
        _highSide = seam.Beside(outer);
        Samples = seam.Samples;
        Outermost = seam.Beside(outer + Beyond * (outer - inner));
        Innermost = seam.Beside(inner - Beyond * (outer - inner));
    }

    /// <summary>What is drawn.</summary>
    public Characteristic Characteristic { get; }

    /// <summary>Samples round it.</summary>
    public int Samples { get; }

    /// <summary>The edge that values above the upper limit reach at most.</summary>
    public Place[] Outermost { get; }

    /// <summary>The edge that values below the lower limit reach at most.</summary>
    public Place[] Innermost { get; }

    /// <summary>Where the lower limit runs.</summary>
    public IReadOnlyList<Place> LowEdge => _lowSide;

    /// <summary>Where the upper limit runs.</summary>
    public IReadOnlyList<Place> HighEdge => _highSide;

    /// <summary>The row of a station.</summary>
    public ResultRow? Row(int station) => _rows[station];

    /// <summary>A place in the ribbon.</summary>
    /// <param name="sample">Sample round the seam; any whole number.</param>
    /// <param name="share">0 at the lower limit, 1 at the upper.</param>
    public Place At(int sample, double share)
    {
        int k = ((sample % Samples) + Samples) % Samples;
        return _lowSide[k] + share * (_highSide[k] - _lowSide[k]);
    }

    /// <summary>Where a value of a station stands across the ribbon: 0 at the lower limit, 1 at the upper; not held in. Null without limits.</summary>
    public double? Share(int station, double value)
    {
        if (_rows[station] is not { Limits: Limits limits } row) return null;
        // One-sided: the given limit is one edge, nominal the middle; without a nominal, the value itself is put a quarter inside.
        double? lower = limits.Lower, upper = limits.Upper;
        if (lower is double l && upper is double u) return (value - l) / (u - l);
        double limit = lower ?? upper!.Value;
        double half = Math.Abs((row.Nominal ?? 0) - limit);
        if (!(half > 0)) half = 1;
        return lower is not null ? (value - limit) / (2 * half) : 1 + (value - limit) / (2 * half);
    }

    /// <summary>Share held to what is drawn.</summary>
    public static double Held(double share) => Math.Clamp(share, -Beyond, 1 + Beyond);
}
