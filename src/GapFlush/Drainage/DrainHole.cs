namespace GapFlush.Drainage;

/// <summary>A round hole in the floor of a channel: what it passes, what it holds up, how long it takes.</summary>
/// <remarks>
/// <para>Frame: head is the depth of water over the rim, mm; flows are in L/s.</para>
/// <para>Method: a weir round the rim at small head, an orifice at large head, whichever passes less. METHOD.md, eq. 13 to 17.</para>
/// <para>Accuracy: 1e-14 relative against 40-digit arithmetic (reference group <c>orifice</c>).</para>
/// <para>Source: orifice equation, discharge coefficient 0.62 sharp and 0.80 short tube (public engineering references); weir coefficient from memory.</para>
/// </remarks>
/// <param name="AreaMm2">Area of the hole, mm².</param>
/// <param name="DiameterMm">Diameter, mm; null where only the area is known, and then there is no rim to be a weir.</param>
/// <param name="OrificeCoefficient">Discharge coefficient of the full hole, no unit.</param>
/// <param name="WeirCoefficient">Discharge coefficient of the rim as a weir, no unit.</param>
public sealed record DrainHole(double AreaMm2, double? DiameterMm, double OrificeCoefficient = DrainHole.SharpEdge, double WeirCoefficient = DrainHole.Rim)
{
    /// <summary>Discharge coefficient of a sharp-edged hole.</summary>
    public const double SharpEdge = 0.62;

    /// <summary>Discharge coefficient of a short tube.</summary>
    public const double ShortTube = 0.80;

    /// <summary>Discharge coefficient of a rim in a level floor as a weir [from memory].</summary>
    public const double Rim = 0.41;

    /// <summary>A hole of a diameter.</summary>
    public static DrainHole Round(double diameterMm, double orificeCoefficient = SharpEdge, double weirCoefficient = Rim) =>
        new(Math.PI / 4 * diameterMm * diameterMm, diameterMm, orificeCoefficient, weirCoefficient);

    /// <summary>What the full hole passes, L/s.</summary>
    public double OrificeFlow(double headMm, Water? water = null) =>
        1000 * OrificeCoefficient * (AreaMm2 * 1e-6) * Math.Sqrt(2 * (water ?? Water.At20C).Gravity * headMm / 1000);

    /// <summary>What runs over the rim at small head, L/s; null without a diameter.</summary>
    public double? WeirFlow(double headMm, Water? water = null) =>
        DiameterMm is double d ? 1000 * WeirCoefficient * Math.Sqrt(2 * (water ?? Water.At20C).Gravity) * (Math.PI * d / 1000) * Math.Pow(headMm / 1000, 1.5) : null;

    /// <summary>What the hole passes at a head, L/s: the smaller of the two.</summary>
    public double Flow(double headMm, Water? water = null) => Math.Min(OrificeFlow(headMm, water), WeirFlow(headMm, water) ?? double.PositiveInfinity);

    /// <summary>True where the rim, not the hole, holds the flow back.</summary>
    public bool IsWeir(double headMm, Water? water = null) => WeirFlow(headMm, water) < OrificeFlow(headMm, water);

    /// <summary>Head at which rim and hole pass the same, mm; null without a diameter.</summary>
    public double? ChangeOverHeadMm => OrificeCoefficient * DiameterMm / (4 * WeirCoefficient);

    /// <summary>Head at which the hole passes a flow, mm.</summary>
    /// <param name="flowLPerS">Flow, L/s, not negative.</param>
    /// <param name="water">Properties of the water; at 20 °C where not given.</param>
    public double HeadFor(double flowLPerS, Water? water = null)
    {
        double atOneMm = OrificeFlow(1, water), orifice = flowLPerS / atOneMm * (flowLPerS / atOneMm);
        if (WeirFlow(1, water) is not double rim) return orifice;
        return Math.Max(orifice, Math.Pow(flowLPerS / rim, 2.0 / 3));
    }

    /// <summary>Time for a pond of one plan area to fall from one head to another through the full hole, s.</summary>
    /// <param name="planAreaM2">Plan area of the pond, m², the same at every level.</param>
    /// <param name="fromMm">Head at the start, mm.</param>
    /// <param name="toMm">Head at the end, mm.</param>
    /// <param name="water">Properties of the water; at 20 °C where not given.</param>
    public double EmptyingTime(double planAreaM2, double fromMm, double toMm = 0, Water? water = null) =>
        2 * planAreaM2 * (Math.Sqrt(fromMm / 1000) - Math.Sqrt(toMm / 1000)) / (OrificeCoefficient * AreaMm2 * 1e-6 * Math.Sqrt(2 * (water ?? Water.At20C).Gravity));

    /// <summary>The discharge coefficient that a measured flow gives.</summary>
    /// <param name="flowLPerS">Measured flow, L/s.</param>
    /// <param name="headMm">Head, mm.</param>
    /// <param name="water">Properties of the water; at 20 °C where not given.</param>
    public double CoefficientFrom(double flowLPerS, double headMm, Water? water = null) =>
        flowLPerS / (this with { OrificeCoefficient = 1 }).OrificeFlow(headMm, water);

    /// <summary>True where the head is more than surface tension can hold up under the hole; null without a diameter.</summary>
    public bool? DrainsAt(double headMm, Water? water = null) => DiameterMm is double d ? headMm > (water ?? Water.At20C).HoldUpHeadMm(d) : null;
}
