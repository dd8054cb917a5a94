namespace GapFlush.Drainage;

/// <summary>Properties of the water and of gravity, and what surface tension does at the size of a door gutter.</summary>
/// <remarks>Source: properties at 20 °C from memory; Jurin's law. METHOD.md, eq. 17 to 19. Accuracy: reference group <c>orifice</c>, 1e-14 relative.</remarks>
/// <param name="Gravity">Acceleration of free fall, m/s².</param>
/// <param name="KinematicViscosity">Kinematic viscosity, m²/s.</param>
/// <param name="Density">Density, kg/m³.</param>
/// <param name="SurfaceTension">Surface tension against air, N/m.</param>
public sealed record Water(double Gravity, double KinematicViscosity, double Density, double SurfaceTension)
{
    /// <summary>Clean water at 20 °C under standard gravity.</summary>
    public static Water At20C { get; } = new(9.80665, 1.004e-6, 998.2, 0.0728);

    /// <summary>Length at which weight and surface tension are of one size, mm.</summary>
    public double CapillaryLengthMm => 1000 * Math.Sqrt(SurfaceTension / (Density * Gravity));

    /// <summary>Thickness of a wide puddle on a level floor, mm: what stays whatever the slope tolerance says.</summary>
    /// <param name="contactDeg">Contact angle of water on the floor, degrees: small on clean wetted paint, about 90 on wax.</param>
    public double PuddleThicknessMm(double contactDeg) => 2 * CapillaryLengthMm * Math.Sin(double.DegreesToRadians(contactDeg) / 2);

    /// <summary>Head that surface tension can hold up over a hole, mm: a half-round bulge under a rim that the water does not wet. The worst case.</summary>
    /// <param name="holeMm">Diameter of the hole, mm.</param>
    public double HoldUpHeadMm(double holeMm) => 1e6 * 4 * SurfaceTension / (Density * Gravity * holeMm);

    /// <summary>Height to which water climbs in a clean tube, mm.</summary>
    /// <param name="boreMm">Bore of the tube, mm.</param>
    /// <param name="contactDeg">Contact angle, degrees.</param>
    public double CapillaryRiseMm(double boreMm, double contactDeg = 0) => HoldUpHeadMm(boreMm) * Math.Cos(double.DegreesToRadians(contactDeg));
}
