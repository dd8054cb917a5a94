namespace GapFlush.Drainage;

/// <summary>A straight piece of channel of one section, from its upper to its lower end. SI.</summary>
/// <param name="Length">Horizontal length, m.</param>
/// <param name="Slope">Slope of the floor, ratio; positive towards the lower end.</param>
/// <param name="Section">The section, in m.</param>
/// <param name="Roughness">Manning's n, s/m^(1/3).</param>
/// <param name="FlowIn">Flow at the upper end, m³/s.</param>
/// <param name="FlowOut">Flow at the lower end, m³/s; what is collected between enters evenly.</param>
public sealed record Reach(double Length, double Slope, ChannelSection Section, double Roughness, double FlowIn, double FlowOut);
