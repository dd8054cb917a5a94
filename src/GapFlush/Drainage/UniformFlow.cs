namespace GapFlush.Drainage;

/// <summary>Steady flow at one depth in a channel of one slope, and what to think of it at the size of a gutter.</summary>
/// <remarks>
/// <para>Frame: SI inside and out: m, m³/s, slope as a ratio. <c>conversion</c> is 1 for SI and 1.486 for feet (gravity then in ft/s²).</para>
/// <para>Method: Manning's formula; normal and critical depth by bisection to neighbouring numbers. METHOD.md, eq. 8 to 12.</para>
/// <para>No answer (null): the section cannot carry the flow below its rim, or a half-full pipe would have to run full.</para>
/// <para>Accuracy: 1e-12 relative against 40-digit arithmetic; eleven published worked examples to the digits printed (reference groups <c>manning</c>,
/// <c>manning_published</c>). Manning presumes rough turbulent flow; below a Reynolds number of 4000 it is a guess (<see cref="IsManningSound"/>).</para>
/// <para>Source: V. T. Chow, Open-Channel Hydraulics (1959), ch. 5 [from memory]; smooth-wall friction after H. Blasius (1913) [from memory].</para>
/// </remarks>
public sealed record UniformFlow
{
    /// <summary>Reynolds number below which Manning's formula is only a guess.</summary>
    public const double LeastReynoldsForManning = 4000;

    private const double LaminarReynolds = 2300;

    private UniformFlow(double depth, double flow, ChannelSection section, double roughness, double slope, Water water, double conversion)
    {
        (Depth, Flow, Slope) = (depth, flow, slope);
        Area = section.Area(depth);
        WettedPerimeter = section.WettedPerimeter(depth);
        TopWidth = section.TopWidth(depth);
        Velocity = flow / Area;
        Froude = Velocity / Math.Sqrt(water.Gravity * Area / TopWidth);
        Reynolds = 4 * Velocity * HydraulicRadius / water.KinematicViscosity;
        Bond = water.Density * water.Gravity * depth * depth / water.SurfaceTension;
        double friction = Reynolds < LaminarReynolds ? 64 / Reynolds : 0.3164 / Math.Pow(Reynolds, 0.25);
        SmoothWallSlope = friction * Velocity * Velocity / (8 * water.Gravity * HydraulicRadius);
        Critical = CriticalFlow.For(section, flow, roughness, water, conversion);
    }

    /// <summary>Depth of the water.</summary>
    public double Depth { get; }

    /// <summary>Flow, volume per second.</summary>
    public double Flow { get; }

    /// <summary>Slope of floor and surface, ratio.</summary>
    public double Slope { get; }

    /// <summary>Area of the water.</summary>
    public double Area { get; }

    /// <summary>Length of wall that the water touches.</summary>
    public double WettedPerimeter { get; }

    /// <summary>Width of the surface.</summary>
    public double TopWidth { get; }

    /// <summary>Area over wetted perimeter.</summary>
    public double HydraulicRadius => Area / WettedPerimeter;

    /// <summary>Mean velocity.</summary>
    public double Velocity { get; }

    /// <summary>Velocity over that of a long wave; above 1 nothing downstream is felt.</summary>
    public double Froude { get; }

    /// <summary>Reynolds number on four hydraulic radii.</summary>
    public double Reynolds { get; }

    /// <summary>Weight over surface tension; below about 10 surface tension shapes the flow.</summary>
    public double Bond { get; }

    /// <summary>Slope that a smooth wall would need for the same depth and flow, ratio: laminar 64/Re below Re 2300, Blasius above.</summary>
    public double SmoothWallSlope { get; }

    /// <summary>The critical state at the same flow; null where it lies above the rim.</summary>
    public CriticalFlow? Critical { get; }

    /// <summary>True where the flow is turbulent enough for Manning's formula.</summary>
    public bool IsManningSound => Reynolds >= LeastReynoldsForManning;

    /// <summary>Manning's flow at a depth.</summary>
    /// <param name="section">The section, in m (or ft).</param>
    /// <param name="depth">Depth of the water, m (or ft).</param>
    /// <param name="roughness">Manning's n, s/m^(1/3).</param>
    /// <param name="slope">Slope, ratio, not negative.</param>
    /// <param name="conversion">1 for SI, 1.486 for feet.</param>
    public static double FlowAt(ChannelSection section, double depth, double roughness, double slope, double conversion = 1) =>
        depth > 0 ? conversion / roughness * section.Area(depth) * Math.Pow(section.HydraulicRadius(depth), 2.0 / 3) * Math.Sqrt(slope) : 0;

    /// <summary>The state at a given depth.</summary>
    /// <exception cref="ArgumentException">Depth, roughness or slope is not above zero.</exception>
    public static UniformFlow AtDepth(ChannelSection section, double depth, double roughness, double slope, Water? water = null, double conversion = 1)
    {
        Check(depth, nameof(depth));
        Check(roughness, nameof(roughness));
        Check(slope, nameof(slope));
        return new(depth, FlowAt(section, depth, roughness, slope, conversion), section, roughness, slope, water ?? Water.At20C, conversion);
    }

    /// <summary>The state at a given flow: the depth at which the slope just carries it.</summary>
    /// <param name="section">The section, in m (or ft).</param>
    /// <param name="flow">Flow, m³/s (or ft³/s).</param>
    /// <param name="roughness">Manning's n, s/m^(1/3).</param>
    /// <param name="slope">Slope, ratio.</param>
    /// <param name="rim">Depth that must not be exceeded; null where the section itself ends it.</param>
    /// <param name="water">Properties of the water; at 20 °C where not given.</param>
    /// <param name="conversion">1 for SI, 1.486 for feet.</param>
    /// <returns>Null where the section cannot carry the flow.</returns>
    /// <exception cref="ArgumentException">Flow, roughness or slope is not above zero.</exception>
    public static UniformFlow? AtFlow(ChannelSection section, double flow, double roughness, double slope, double? rim = null, Water? water = null, double conversion = 1)
    {
        Check(flow, nameof(flow));
        Check(roughness, nameof(roughness));
        Check(slope, nameof(slope));
        double high = Math.Min(rim ?? double.PositiveInfinity, section.DepthOfMostFlow);
        if (double.IsInfinity(high))
        {
            high = 1;
            while (FlowAt(section, high, roughness, slope, conversion) < flow) high *= 2;
        }
        else if (FlowAt(section, high, roughness, slope, conversion) < flow)
        {
            return null;
        }
        double depth = Root.Between(y => FlowAt(section, y, roughness, slope, conversion) - flow, 0, high);
        return new(depth, flow, section, roughness, slope, water ?? Water.At20C, conversion);
    }

    private static void Check(double value, string name)
    {
        if (!(value > 0) || !double.IsFinite(value)) throw new ArgumentException(Invariant($"{name} must be a number above zero, not {value}."), name);
    }
}
