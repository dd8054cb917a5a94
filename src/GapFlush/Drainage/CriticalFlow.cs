namespace GapFlush.Drainage;

/// <summary>The state of least energy at a flow: what stands at a free outfall. METHOD.md, eq. 11.</summary>
/// <param name="Depth">Critical depth.</param>
/// <param name="Velocity">Velocity at that depth.</param>
/// <param name="TopWidth">Width of the surface at that depth.</param>
/// <param name="Slope">Slope at which uniform flow would be critical by Manning's formula, ratio.</param>
public sealed record CriticalFlow(double Depth, double Velocity, double TopWidth, double Slope)
{
    /// <summary>The critical state of a flow; null where the depth would pass the rim of the section.</summary>
    internal static CriticalFlow? For(ChannelSection section, double flow, double roughness, Water water, double conversion)
    {
        if (DepthFor(section, flow, water.Gravity) is not double depth) return null;
        double area = section.Area(depth), shape = area * Math.Pow(section.HydraulicRadius(depth), 2.0 / 3);
        double root = flow * roughness / (conversion * shape);
        return new(depth, flow / area, section.TopWidth(depth), root * root);
    }

    /// <summary>Critical depth: Q² T = g A³. Null where the section ends below it.</summary>
    /// <param name="section">The section, in m (or ft).</param>
    /// <param name="flow">Flow, m³/s (or ft³/s).</param>
    /// <param name="gravity">Acceleration of free fall, m/s² (or ft/s²).</param>
    public static double? DepthFor(ChannelSection section, double flow, double gravity)
    {
        if (section is RectangularSection) return Math.Cbrt(flow * flow / (gravity * section.TopWidth(0) * section.TopWidth(0)));

        double Excess(double y)
        {
            double area = section.Area(y);
            return gravity * area * area * area - flow * flow * section.TopWidth(y);
        }

        double high = section.FullDepth;
        if (double.IsInfinity(high))
        {
            high = 1;
            while (Excess(high) < 0) high *= 2;
        }
        else if (Excess(high) < 0)
        {
            return null;
        }
        // At no depth both terms vanish; start where the second still outweighs the first.
        return Root.Between(Excess, high * 1e-12, high);
    }
}
