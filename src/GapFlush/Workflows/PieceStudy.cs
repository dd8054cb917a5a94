using GapFlush.GaugeStudy;
using GapFlush.Plan;
using GapFlush.Readings;

namespace GapFlush.Workflows;

/// <summary>One reference piece read with one gauge.</summary>
/// <param name="Piece">The piece.</param>
/// <param name="ReferenceMm">Certified value, mm.</param>
/// <param name="Study">Bias and spread; null where it was read once, or always alike.</param>
/// <param name="Reason">Why there is none, or null.</param>
public sealed record PieceLine(string Piece, double ReferenceMm, ReferenceStudy? Study, string? Reason);

/// <summary>Does a gauge read true? Bias, Cg and Cgk of each reference piece, and the slope of the bias over their sizes.</summary>
/// <param name="Gauge">The gauge.</param>
/// <param name="Characteristic">What it is used for, or null.</param>
/// <param name="ToleranceMm">Width of the limits it is held to, mm, or null.</param>
/// <param name="Pieces">The pieces, by size.</param>
/// <param name="Linearity">The slope of the bias; null with one size only.</param>
public sealed record PieceStudy(string Gauge, Characteristic? Characteristic, double? ToleranceMm, IReadOnlyList<PieceLine> Pieces, LinearityStudy? Linearity)
{
    /// <summary>The usual demand on Cg and Cgk: common practice, no source.</summary>
    public const double LeastCg = 1.33;

    /// <summary>Largest bias of a piece, mm; null where none can be told.</summary>
    public double? LargestBiasMm => Pieces.Where(p => p.Study is not null).Select(p => (double?)p.Study!.Bias).MaxBy(b => Math.Abs(b!.Value));

    /// <summary>True where a Cg or Cgk is below what is usually asked, or the bias is proven to change with size.</summary>
    public bool WantsLook => Pieces.Any(p => p.Study is { } s && (s.Cgk() < LeastCg || s.Cg() < LeastCg)) || Linearity?.SlopeProbability < 0.05;

    /// <summary>The gauge and what it is used for.</summary>
    public string Name => Characteristic is null ? Gauge : $"{Gauge} on {Characteristic.Words}";

    /// <summary>The answer in a sentence.</summary>
    public string Answer
    {
        get
        {
            if (LargestBiasMm is not double bias) return $"{Name}: {Pieces[0].Reason}.";
            double? worst = Pieces.Where(p => p.Study is not null && ToleranceMm is not null).Select(p => (double?)p.Study!.Cgk()).Min();
            string cgk = worst is double c ? Invariant($"; lowest Cgk {c:0.00}, {(c < LeastCg ? "below" : "not below")} the usual {LeastCg}") : "; no limits to hold it to";
            string linear = Linearity is null ? "" : Linearity.SlopeProbability < 0.05 ? Invariant($"; its bias changes with size by {Linearity.Slope:+0.0000;-0.0000} mm a mm") : "; no change of bias with size is proven";
            return Invariant($"{Name}: bias {bias:+0.000;-0.000;0.000} mm at most{cgk}{linear}.");
        }
    }

    /// <summary>Studies each gauge and characteristic of a file of piece readings.</summary>
    public static IReadOnlyList<PieceStudy> Run(FitPlan plan, IReadOnlyList<PieceReading> readings) =>
        [.. readings.GroupBy(r => (r.Gauge, r.Characteristic)).Select(g =>
        {
            double? tolerance = g.Select(r => r.ToleranceMm).Min() ?? plan.Limits.Rows.Where(l => l.Characteristic == g.Key.Characteristic).Select(l => l.Limits.Width).Min();
            PieceLine[] pieces = [.. g.GroupBy(r => (r.Piece, r.ReferenceMm)).OrderBy(p => p.Key.ReferenceMm).Select(p =>
            {
                double[] values = [.. p.Select(r => r.ValueMm)];
                string? reason = values.Length < 2 ? "one reading: no spread can be told" : values.All(v => v == values[0]) ? "every reading alike: the gauge is too coarse to tell a spread" : null;
                return new PieceLine(p.Key.Piece, p.Key.ReferenceMm, reason is null ? new ReferenceStudy(values, p.Key.ReferenceMm, tolerance ?? double.PositiveInfinity) : null, reason);
            })];
            return new PieceStudy(g.Key.Gauge, g.Key.Characteristic, tolerance, pieces, LinearityStudy.Of([.. g.Select(r => (r.ReferenceMm, r.ValueMm))]));
        })];
}
