using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Hanging;

/// <summary>The displacement of one door by all three methods, and whether they tell the same.</summary>
/// <param name="Deviations">The deviations the fits rest on, in station order, gap before flush.</param>
/// <param name="LeastSquares">The least-squares displacement, or null where no deviation is known.</param>
/// <param name="Robust">The robust displacement, or null where there are too few readings for one.</param>
/// <param name="Minimax">The displacement with the smallest worst residual, or null where no deviation is known.</param>
public sealed record DisplacementFits(IReadOnlyList<SeamDeviation> Deviations, DoorDisplacement? LeastSquares, DoorDisplacement? Robust, DoorDisplacement? Minimax)
{
    /// <summary>True where least squares and the robust fit tell different things of some station: by more than the expanded uncertainty of its reading
    /// (0.05 mm where that is not known), and by more than twice the standard uncertainty of what the robust fit explains there. Both are then to be shown.</summary>
    public bool Differ => LeastSquares is not null && Robust is not null && Enumerable.Range(0, Deviations.Count).Any(i =>
    {
        SeamDeviation d = Deviations[i];
        double between = Math.Abs(LeastSquares.Residuals[i].ExplainedMm - Robust.Residuals[i].ExplainedMm);
        return between > (2 * d.StandardUncertaintyMm ?? 0.05) && between > 2 * (Robust.ExplainedUncertainty(d.Position, d.Direction) ?? 0);
    });

    /// <summary>The fit to go by: the robust one where the two differ, else least squares.</summary>
    public DoorDisplacement? Preferred => Differ ? Robust : LeastSquares;

    /// <summary>Readings that the robust fit leaves out altogether.</summary>
    public IReadOnlyList<DisplacementResidual> SetAside => Robust is null ? [] : [.. Robust.Residuals.Where(r => r.Weight == 0)];

    /// <summary>Fits the gap and flush measurements of a door.</summary>
    /// <remarks>The target of a value is its nominal; where the plan leaves that blank, the middle of a two-sided band. A value with neither is not used.
    /// Turns are about the mean of all stations of the door, read or not, and scaled by their root mean square distance from it.</remarks>
    /// <param name="plan">The plan, for the targets.</param>
    /// <param name="door">The door.</param>
    /// <param name="stage">The stage the measurements are stated for, or null.</param>
    /// <param name="measurements">Measurements at plan conditions; those of other doors, other characteristics or without a value are passed over.</param>
    public static DisplacementFits Of(FitPlan plan, Door door, string? stage, IEnumerable<Measurement> measurements)
    {
        List<SeamDeviation> deviations = [];
        ILookup<(string, Characteristic), Measurement> found = measurements.Where(m => m.Door == door.Code && m.Station is not null && m.Value is not null).ToLookup(m => (m.Station!, m.Characteristic));
        foreach (Station station in door.Stations)
        {
            foreach (Characteristic characteristic in (Characteristic[])[Characteristic.Gap, Characteristic.Flush])
            {
                LimitRow? row = plan.Limits.For(characteristic, door.Code, station.Zone, station.Name, stage);
                if (Target(row) is not double target) continue;
                foreach (Measurement m in found[(station.Name, characteristic)])
                {
                    double? u = m.StandardUncertainty is > 0 ? m.StandardUncertainty : null;
                    deviations.Add(characteristic == Characteristic.Gap ? SeamDeviation.OfGap(station, m.Value!.Value - target, u) : SeamDeviation.OfFlush(station, m.Value!.Value - target, u));
                }
            }
        }
        double size = Math.Sqrt(door.Stations.Average(s => Math.Pow(s.Position.DistanceTo(door.Centre), 2)));
        return new(deviations, DoorDisplacement.Fit(deviations, door.Centre, size), DoorDisplacement.FitRobust(deviations, door.Centre, size), DoorDisplacement.FitMinimax(deviations, door.Centre, size));
    }

    /// <summary>The value a row aims at: its nominal, or the middle of its band, or null where it has neither.</summary>
    public static double? Target(LimitRow? row) => row?.Nominal ?? (row?.Limits.Lower + row?.Limits.Upper) / 2;
}
