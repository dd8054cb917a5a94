using GapFlush.Geometry;

namespace GapFlush.Plan;

/// <summary>A numbered place on the seam where gap and flush are measured.</summary>
public sealed record Station
{
    /// <summary>Makes a station; the plan reader has checked the vectors.</summary>
    /// <param name="name">Name, unique within its door.</param>
    /// <param name="zone">The zone it belongs to.</param>
    /// <param name="position">Place on the seam, mm.</param>
    /// <param name="normal">Unit outward normal of the nominal skin.</param>
    /// <param name="tangent">Unit tangent of the seam in the direction of rising order.</param>
    /// <param name="intoDoor">Unit vector in the skin, square to the seam, from the surround into the door.</param>
    /// <param name="index">Place in the order round the outline, from 0.</param>
    /// <param name="alongMm">Developed length along the seam from the first station, mm, straight from station to station.</param>
    public Station(string name, string zone, Point3 position, Vector3 normal, Vector3 tangent, Vector3 intoDoor, int index, double alongMm) =>
        (Name, Zone, Position, Normal, Tangent, IntoDoor, Index, AlongMm) = (name, zone, position, normal, tangent, intoDoor, index, alongMm);

    /// <summary>Name, unique within its door.</summary>
    public string Name { get; }

    /// <summary>The zone it belongs to.</summary>
    public string Zone { get; }

    /// <summary>Place on the seam, mm.</summary>
    public Point3 Position { get; }

    /// <summary>Unit outward normal of the nominal skin (n).</summary>
    public Vector3 Normal { get; }

    /// <summary>Unit tangent of the seam in the direction of rising order (t).</summary>
    public Vector3 Tangent { get; }

    /// <summary>Unit vector in the skin, square to the seam, from the surround into the door (u).</summary>
    public Vector3 IntoDoor { get; }

    /// <summary>Place in the order round the outline, from 0.</summary>
    public int Index { get; }

    /// <summary>Developed length along the seam from the first station, mm.</summary>
    public double AlongMm { get; }
}
