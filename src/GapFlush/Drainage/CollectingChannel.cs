namespace GapFlush.Drainage;

/// <summary>Closed forms for a straight rectangular channel that collects evenly along its length and ends in a free outfall.</summary>
/// <remarks>
/// <para>Frame: SI. Source: momentum balance without friction; the form for a slope is widely published for launders [from memory]. METHOD.md, eq. 23 and 24.</para>
/// <para>Friction adds 4 to 8 per cent to the head depth in gutters of our size; <see cref="WaterProfile"/> has it.</para>
/// </remarks>
public static class CollectingChannel
{
    /// <summary>Depth at the head of a level channel, m: √3 times the critical depth at its end.</summary>
    public static double HeadDepthLevel(double criticalDepth) => Math.Sqrt(3) * criticalDepth;

    /// <summary>Depth at the head of a sloping channel, m.</summary>
    /// <param name="criticalDepth">Critical depth at the end, m.</param>
    /// <param name="endDepth">Depth at the end, m; the critical depth for a free outfall.</param>
    /// <param name="slope">Slope of the floor, ratio, positive to the end.</param>
    /// <param name="length">Length, m.</param>
    public static double HeadDepthSloping(double criticalDepth, double endDepth, double slope, double length)
    {
        double third = slope * length / 3, rest = endDepth - third;
        return Math.Sqrt(2 * criticalDepth * criticalDepth * criticalDepth / endDepth + rest * rest) - 2 * third;
    }
}
