using System.Text.RegularExpressions;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>How the plan's axes lie in the aircraft, read from the words of <c>axes</c> in plan.json.</summary>
/// <remarks>Attitudes turn the aircraft, so drainage must know which axis is aft, starboard and up. Words understood: aft, forward, starboard, right, port, left, up, down.</remarks>
public sealed partial class AircraftAxes
{
    private readonly Vector3 _aft, _starboard, _up;

    private AircraftAxes(Vector3 aft, Vector3 starboard, Vector3 up) => (_aft, _starboard, _up) = (aft, starboard, up);

    /// <summary>x aft, y starboard, z up.</summary>
    public static AircraftAxes Usual { get; } = new(new(1, 0, 0), new(0, 1, 0), new(0, 0, 1));

    /// <summary>Reads the words.</summary>
    /// <param name="words">Such as "x aft, y starboard, z up".</param>
    /// <returns>Null where the words do not say where each of x, y, z points, or say it left-handed.</returns>
    public static AircraftAxes? Read(string words)
    {
        Dictionary<char, Vector3> points = [];
        foreach (Match match in AxisWord().Matches(words))
        {
            char axis = char.ToLowerInvariant(match.Groups["axis"].Value[0]);
            Vector3 direction = match.Groups["way"].Value.ToLowerInvariant() switch
            {
                "aft" or "rearward" or "back" => new(1, 0, 0),
                "forward" or "fwd" or "forwards" => new(-1, 0, 0),
                "starboard" or "right" => new(0, 1, 0),
                "port" or "left" => new(0, -1, 0),
                "up" or "upward" or "upwards" => new(0, 0, 1),
                _ => new(0, 0, -1),
            };
            if (!points.TryAdd(axis, direction)) return null;
        }
        if (points.Count != 3) return null;
        (Vector3 x, Vector3 y, Vector3 z) = (points['x'], points['y'], points['z']);
        if (x.Cross(y).Dot(z) < 0.5) return null;   // left-handed, or two axes along one line
        return new(new(x.X, y.X, z.X), new(x.Y, y.Y, z.Y), new(x.Z, y.Z, z.Z));
    }

    /// <summary>A place of the plan with x aft, y starboard, z up.</summary>
    public Point3 Turn(Point3 place) => new(_aft.Dot(place.FromOrigin), _starboard.Dot(place.FromOrigin), _up.Dot(place.FromOrigin));

    /// <summary>A channel of the plan with x aft, y starboard, z up.</summary>
    public Channel Turn(Channel channel) => this == Usual ? channel : channel with { Points = [.. channel.Points.Select(p => p with { Position = Turn(p.Position) })] };

    [GeneratedRegex(@"\b(?<axis>[xyz])\b[\s:=]*(?:is|points|positive|\+)?\s*(?<way>aft|rearward|back|forwards?|fwd|starboard|right|port|left|upwards?|up|downwards?|down)\b", RegexOptions.IgnoreCase)]
    private static partial Regex AxisWord();
}
