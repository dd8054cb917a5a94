namespace GapFlush.Statistics;

/// <summary>An interval of confidence. An infinite end is open.</summary>
/// <param name="Low">Lower end.</param>
/// <param name="High">Upper end.</param>
public readonly record struct Interval(double Low, double High)
{
    /// <summary>True when the value lies inside, ends included.</summary>
    public bool Holds(double value) => value >= Low && value <= High;
}
