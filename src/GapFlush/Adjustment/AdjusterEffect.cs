using GapFlush.Hanging;
using GapFlush.Plan;

namespace GapFlush.Adjustment;

/// <summary>What 1 mm at one adjuster, all others staying, does to gap, flush and seal land gap round the door.</summary>
/// <param name="Adjuster">The adjuster.</param>
/// <param name="Displacement">How the door moves for 1 mm.</param>
/// <param name="Stations">Change at each station, in station order.</param>
/// <param name="Zones">Mean change over each zone, in the order met round the outline.</param>
/// <param name="MisfitMm">What the others resist it by where the door is held more than once, mm: 0 where nothing fights it.</param>
public sealed record AdjusterEffect(Adjuster Adjuster, SmallDisplacement Displacement, IReadOnlyList<SeamChange> Stations, IReadOnlyList<SeamChange> Zones, double MisfitMm)
{
    /// <summary>The effects of all adjusters of a door.</summary>
    public static IReadOnlyList<AdjusterEffect> Of(FitPlan plan, DoorHolding holding)
    {
        int k = holding.Adjusters.Count;
        List<AdjusterEffect> effects = [];
        for (int j = 0; j < k; j++)
        {
            double[] one = new double[k];
            one[j] = 1;
            SmallDisplacement displacement = holding.Displacement(one);
            SeamChange[] stations = [.. holding.Door.Stations.Select(s => SeamChange.At(plan, holding.Door, s, displacement))];
            SeamChange[] zones = [.. holding.Door.Zones.Select(z =>
            {
                SeamChange[] of = [.. stations.Where((_, i) => holding.Door.Stations[i].Zone == z)];
                return new SeamChange(z, of.Average(c => c.GapMm), of.Average(c => c.FlushMm), of.Average(c => c.LandGapMm));
            })];
            effects.Add(new(holding.Adjusters[j], displacement, stations, zones, Math.Abs(holding.Misfit(one)[j])));
        }
        return effects;
    }

    /// <summary>The zones where it shows most, in a sentence a fitter can use: "1 mm out at upper-hinge-shim: hinge flush +0.71, seal +0.71; header gap +0.38 …".</summary>
    /// <param name="plan">The plan, for the words of directions.</param>
    public string Words(FitPlan plan)
    {
        IEnumerable<string> parts = Zones.Select(z => (z, Size: Math.Max(Math.Abs(z.GapMm), Math.Abs(z.FlushMm)))).Where(z => z.Size >= 0.1).OrderByDescending(z => z.Size).Select(z =>
            $"{z.z.Place} {string.Join(", ", new[] { Part("gap", z.z.GapMm), Part("flush", z.z.FlushMm) }.OfType<string>())}");
        return $"1 mm {MoveWords.Direction(plan, Adjuster, 1)} at {Adjuster.Name}: {string.Join("; ", parts)}.";

        static string? Part(string what, double mm) => Math.Abs(mm) >= 0.05 ? Invariant($"{what} {mm:+0.0;-0.0}") : null;
    }
}
