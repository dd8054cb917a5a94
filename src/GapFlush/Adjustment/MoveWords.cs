using System.Text.RegularExpressions;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Adjustment;

/// <summary>Directions of moves in words that a fitter uses: out, in, aft, forward, up, down.</summary>
public static partial class MoveWords
{
    /// <summary>Which way the door goes at an adjuster.</summary>
    /// <param name="plan">The plan, for its doors and axes.</param>
    /// <param name="adjuster">The adjuster.</param>
    /// <param name="moveMm">The move; its sign says which way.</param>
    public static string Direction(FitPlan plan, Adjuster adjuster, double moveMm)
    {
        Vector3 way = Math.Sign(moveMm) * adjuster.Direction;
        if (plan.FindDoor(adjuster.Door) is Door door)
        {
            Vector3 outward = default;
            foreach (Station s in door.Stations) outward += s.Normal;
            if (outward.Length > 0.1 && Math.Abs(way.Dot(outward.ToUnit())) >= 0.75) return way.Dot(outward) > 0 ? "out" : "in";
        }
        // The one or two axes that make up most of it, the larger first.
        (char Axis, double Share)[] shares = [('x', way.X), ('y', way.Y), ('z', way.Z)];
        return string.Join(" and ", shares.Where(s => Math.Abs(s.Share) >= 0.35).OrderByDescending(s => Math.Abs(s.Share)).Select(s => Axis(plan.Axes, s.Axis, s.Share)));
    }

    private static string Axis(string axes, char axis, double share)
    {
        Match? match = AxisWord().Matches(axes).FirstOrDefault(m => char.ToLowerInvariant(m.Groups["axis"].Value[0]) == axis);
        string[]? pair = match?.Groups["way"].Value.ToLowerInvariant() switch
        {
            "aft" or "rearward" or "back" => ["aft", "forward"],
            "forward" or "forwards" or "fwd" => ["forward", "aft"],
            "starboard" or "right" => ["to starboard", "to port"],
            "port" or "left" => ["to port", "to starboard"],
            "up" or "upward" or "upwards" => ["up", "down"],
            "down" or "downward" or "downwards" => ["down", "up"],
            _ => null,
        };
        return pair is null ? $"along {(share > 0 ? '+' : '-')}{axis}" : pair[share > 0 ? 0 : 1];
    }

    [GeneratedRegex(@"\b(?<axis>[xyz])\b[\s:=]*(?:is|points|positive|\+)?\s*(?<way>aft|rearward|back|forwards?|fwd|starboard|right|port|left|upwards?|up|downwards?|down)\b", RegexOptions.IgnoreCase)]
    private static partial Regex AxisWord();
}
