using GapFlush.Geometry;
using GapFlush.Numerics;
using GapFlush.Plan;

namespace GapFlush.Registration;

/// <summary>How surely a motion is known: the covariance of six small movements about a centre, and so the uncertainty of any place along any direction.</summary>
/// <remarks>METHOD.md, eq. 14.</remarks>
public sealed class MotionUncertainty
{
    private readonly Point3 _centre;
    private readonly double _size, _everywhereMm;
    private readonly double[,] _covariance;

    /// <param name="centre">About which the turns are taken.</param>
    /// <param name="sizeMm">The distance at which a turn counts as a millimetre.</param>
    /// <param name="covariance">Of the shifts along x, y, z and the turns about them, the turns times <paramref name="sizeMm"/>; mm².</param>
    /// <param name="everywhereMm">A standard uncertainty that every place has besides, mm.</param>
    internal MotionUncertainty(Point3 centre, double sizeMm, double[,] covariance, double everywhereMm) =>
        (_centre, _size, _covariance, _everywhereMm) = (centre, sizeMm, covariance, everywhereMm);

    /// <summary>Standard uncertainty of a place along a unit direction, mm.</summary>
    public double At(Point3 place, Vector3 direction) =>
        Math.Sqrt(Math.Max(0, Cholesky.Quadratic(_covariance, Movement(place - _centre, direction, _size))) + _everywhereMm * _everywhereMm);

    /// <summary>The largest along the seam's three directions at a door's stations, mm.</summary>
    public double Worst(Door door) => door.Stations.Max(s => new[] { s.Tangent, s.Normal, s.IntoDoor }.Max(v => At(s.Position, v)));

    /// <summary>The largest along x, y and z at a place, mm.</summary>
    public double Worst(Point3 place) => new Vector3[] { new(1, 0, 0), new(0, 1, 0), new(0, 0, 1) }.Max(v => At(place, v));

    /// <summary>How far a place goes along a direction for each of the six movements; turns in millimetres at the size of the door, so that all six are alike.</summary>
    internal static double[] Movement(Vector3 arm, Vector3 direction, double size)
    {
        Vector3 t = arm.Cross(direction) / size;
        return [direction.X, direction.Y, direction.Z, t.X, t.Y, t.Z];
    }
}
