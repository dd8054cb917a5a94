namespace GapFlush.Airflow;

/// <summary>What a step at a seam does to the air: whether it can trip a laminar layer, and about how much it drags.</summary>
/// <remarks>
/// <para>Order of magnitude only. Behind a propeller the layer on a fuselage side is normally turbulent: then only drag and noise count.</para>
/// <para>Method: step Reynolds number V h / nu; boundary layer of a flat plate; step drag from the dynamic pressure averaged over the step's height in a 1/7-power profile.</para>
/// <para>Accuracy: 1e-9 relative against the computed cases of the aero group (ReferenceTests).</para>
/// <para>Source: critical numbers of Nenni and Gluyas (1966), rounded step after Holmes and others; layer thickness from textbooks; drag form of Hoerner (1965), chapter 5 [all from memory].</para>
/// </remarks>
/// <param name="SpeedMPerS">Speed of the air, m/s.</param>
/// <param name="ViscosityM2PerS">Kinematic viscosity, m²/s.</param>
/// <param name="DensityKgPerM3">Density, kg/m³.</param>
/// <param name="DistanceM">Distance from where the layer begins, m.</param>
public sealed record StepInAir(double SpeedMPerS, double ViscosityM2PerS, double DensityKgPerM3, double DistanceM)
{
    /// <summary>Critical step Reynolds number of a sharp step that faces away from the flow [from memory].</summary>
    public const double CriticalAftFacing = 900;

    /// <summary>Critical step Reynolds number of a sharp step that faces the flow [from memory].</summary>
    public const double CriticalForwardFacing = 1800;

    /// <summary>Critical step Reynolds number of a rounded step that faces the flow [from memory].</summary>
    public const double CriticalForwardFacingRounded = 2700;

    /// <summary>Critical Reynolds number of a gap across the flow, on its width [from memory].</summary>
    public const double CriticalGap = 15000;

    /// <summary>Reynolds number per metre.</summary>
    public double UnitReynoldsPerM => SpeedMPerS / ViscosityM2PerS;

    /// <summary>Reynolds number on the distance.</summary>
    public double ReynoldsOnDistance => UnitReynoldsPerM * DistanceM;

    /// <summary>Thickness of a laminar layer, mm.</summary>
    public double LaminarThicknessMm => 5 * DistanceM / Math.Sqrt(ReynoldsOnDistance) * 1000;

    /// <summary>Thickness of a turbulent layer, mm.</summary>
    public double TurbulentThicknessMm => 0.37 * DistanceM / Math.Pow(ReynoldsOnDistance, 0.2) * 1000;

    /// <summary>Dynamic pressure, Pa.</summary>
    public double DynamicPressurePa => DensityKgPerM3 * SpeedMPerS * SpeedMPerS / 2;

    /// <summary>Step Reynolds number of a height.</summary>
    public double StepReynolds(double heightMm) => UnitReynoldsPerM * heightMm / 1000;

    /// <summary>Height or width that reaches a critical Reynolds number, mm.</summary>
    public double CriticalSizeMm(double criticalReynolds) => criticalReynolds / UnitReynoldsPerM * 1000;

    /// <summary>Mean dynamic pressure over the height of a step in a turbulent layer, as a share of the free one.</summary>
    public double PressureShare(double heightMm)
    {
        double k = heightMm / TurbulentThicknessMm;
        return k <= 1 ? 7.0 / 9 * Math.Pow(k, 2.0 / 7) : (7.0 / 9 + (k - 1)) / k;
    }

    /// <summary>The same share by the simpler published form 0.75 (h/delta)^(1/3) [Hoerner, from memory].</summary>
    public double PressureShareSimple(double heightMm) => 0.75 * Math.Cbrt(heightMm / TurbulentThicknessMm);

    /// <summary>Drag of a step square to the flow, N.</summary>
    /// <param name="heightMm">Height, mm.</param>
    /// <param name="spanM">Length of the edge, m.</param>
    /// <param name="dragCoefficient">Coefficient on frontal area: about 0.4 facing the flow, 0.2 facing away, sharp edges [from memory].</param>
    public double StepDragN(double heightMm, double spanM, double dragCoefficient) =>
        dragCoefficient * PressureShare(heightMm) * DynamicPressurePa * spanM * heightMm / 1000;
}
