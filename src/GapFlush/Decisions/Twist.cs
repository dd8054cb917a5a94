using GapFlush.Geometry;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Decisions;

/// <summary>Twist of a door: the alternating sum of the flush at four corner stations, f1 - f2 + f3 - f4 going round. No hinge move removes it.</summary>
/// <remarks>
/// <para>Which four: those that span the largest quadrilateral. Where the plan names zones with "corner" in their name, and these hold four stations or more, only
/// their stations are looked at. The first of them in station order counts positive.</para>
/// <para>No value: fewer than four stations, or a flush missing at one of the four.</para>
/// <para>A rigid motion of a flat door leaves it as it is, exactly where the four form a parallelogram. METHOD.md, eq. 11.</para>
/// </remarks>
public static class Twist
{
    /// <summary>The four corner stations in station order, or null where the door has fewer than four.</summary>
    public static IReadOnlyList<Station>? Corners(Door door)
    {
        Station[] named = [.. door.Stations.Where(s => s.Zone.Contains("corner", StringComparison.OrdinalIgnoreCase))];
        Station[] stations = named.Length >= 4 ? named : [.. door.Stations];
        int n = stations.Length;
        if (n < 4) return null;
        // The vector area of a quadrilateral is half the product of its diagonals; for a fixed diagonal each side has its own best station.
        Vector3 facing = default;
        for (int i = 0; i < n; i++) facing += (stations[i].Position - stations[0].Position).Cross(stations[(i + 1) % n].Position - stations[0].Position);
        (int A, int B, int C, int D) best = default;
        double largest = double.NegativeInfinity;
        for (int a = 0; a < n - 2; a++)
        {
            for (int c = a + 2; c < n; c++)
            {
                Vector3 diagonal = stations[c].Position - stations[a].Position;
                (int b, double one) = Farthest(a + 1, c, -1);
                (int d, double other) = c + 1 < n ? Farthest(c + 1, n, 1) : (-1, double.NegativeInfinity);
                // Shares of a millionth decide nothing, so that mirrored or turned doors pick the same stations.
                if (one + other > largest * (1 + 1e-6)) (largest, best) = (one + other, (a, b, c, d));

                (int, double) Farthest(int from, int to, int sign)
                {
                    (int at, double area) = (-1, double.NegativeInfinity);
                    for (int i = from; i < to; i++)
                    {
                        double here = sign * diagonal.Cross(stations[i].Position - stations[a].Position).Dot(facing);
                        if (here > area + 1e-6 * Math.Abs(area == double.NegativeInfinity ? 0 : area)) (at, area) = (i, here);
                    }
                    return (at, area);
                }
            }
        }
        return [stations[best.A], stations[best.B], stations[best.C], stations[best.D]];
    }

    /// <summary>The twist of four flushes going round, mm.</summary>
    internal static double OfCorners(double first, double second, double third, double fourth) => first - second + third - fourth;

    /// <summary>Twist of a door from the flush at its corners.</summary>
    /// <param name="door">The door.</param>
    /// <param name="flushes">The flush measurement of each station by name; those without a value count as missing.</param>
    /// <param name="build">Serial, for the result.</param>
    /// <param name="stage">Stage, for the result.</param>
    public static Measurement Of(Door door, IReadOnlyDictionary<string, Measurement> flushes, string build, string? stage)
    {
        Measurement start = new()
        {
            Build = build,
            Door = door.Code,
            Characteristic = Characteristic.Twist,
            Definition = door.DefinitionOf(Characteristic.Twist),
            Stage = stage,
            Origin = MeasurementOrigin.Derived,
        };
        if (Corners(door) is not IReadOnlyList<Station> corners) return start with { Reason = "a twist needs four stations" };
        Measurement?[] found = [.. corners.Select(s => flushes.TryGetValue(s.Name, out Measurement? m) && m.Value is not null ? m : null)];
        string[] missing = [.. corners.Where((_, i) => found[i] is null).Select(s => s.Name)];
        if (missing.Length > 0) return start with { Reason = $"no flush at corner {(missing.Length == 1 ? "station" : "stations")} {string.Join(", ", missing)}" };
        Measurement[] flush = [.. found.OfType<Measurement>()];
        double twist = OfCorners(flush[0].Value!.Value, flush[1].Value!.Value, flush[2].Value!.Value, flush[3].Value!.Value);
        Measurement result = start with { Value = twist, RawValue = twist, Reason = $"flush at {corners[0].Name} - {corners[1].Name} + {corners[2].Name} - {corners[3].Name}" };
        return flush.Any(f => f.StandardUncertainty is null) ? result
            : Derived.WithBudget(result, new([.. flush.Select((f, i) => new UncertaintyComponent($"flush at {corners[i].Name}", f.StandardUncertainty!.Value, f.DegreesOfFreedom))]));
    }
}
