namespace GapFlush.Plan.Files;

/// <summary>Which numbers a place in a plan file may hold, in words for the message. NaN is in no range.</summary>
/// <param name="Expected">What is expected, as a noun phrase.</param>
/// <param name="Remedy">How to mend a number outside the range.</param>
/// <param name="Holds">True for a number inside.</param>
internal sealed record NumberRange(string Expected, string Remedy, Func<double, bool> Holds)
{
    // Beyond these a file holds a slip, not a door; they also keep squares and products far from overflow.
    private const double Huge = 1e9, FarAwayMm = 1e6;

    /// <summary>Any number of ordinary size.</summary>
    public static NumberRange Any { get; } = new("a number of ordinary size", "Correct the number.", v => Math.Abs(v) <= Huge);

    /// <summary>A coordinate in the plan's axes.</summary>
    public static NumberRange CoordinateMm { get; } = new("a coordinate within 1000000 mm of the origin", "Coordinates are millimetres in the plan's own axes; correct the number.", v => Math.Abs(v) <= FarAwayMm);

    /// <summary>More than nothing.</summary>
    public static NumberRange Positive { get; } = new("a number greater than 0", "Correct the number.", v => v is > 0 and <= Huge);

    /// <summary>Nothing or more.</summary>
    public static NumberRange NotNegative { get; } = new("0 or a number greater than 0", "Correct the number.", v => v is >= 0 and <= Huge);

    /// <summary>A share that leaves something over.</summary>
    public static NumberRange Percent { get; } = new("per cent: 0 or more and less than 100", "Correct the number.", v => v is >= 0 and < 100);

    /// <summary>A temperature people work at, or a drawing refers to.</summary>
    public static NumberRange TemperatureC { get; } = new("a temperature from -60 to 100 °C", "Give degrees Celsius.", v => v is >= -60 and <= 100);

    /// <summary>Linear expansion; carbon along its fibres is a little below zero, plastics reach 0.0002.</summary>
    public static NumberRange ExpansionPerK { get; } = new("an expansion per kelvin from -0.0001 to 0.001", "Write the full number: 23.4 millionths per kelvin is 0.0000234 or 23.4e-6.", v => v is >= -1e-4 and <= 1e-3);

    /// <summary>An angle of the aircraft on the ground.</summary>
    public static NumberRange AngleDeg { get; } = new("an angle of less than 90 degrees either way", "Give degrees.", v => Math.Abs(v) < 90);

    /// <summary>A thickness of paint, or its loss.</summary>
    public static NumberRange PaintMm { get; } = new("a thickness of at most 5 mm either way", "Give millimetres.", v => Math.Abs(v) <= 5);

    /// <summary>An expanded uncertainty of a length as read. What is finer than an atom is a slip, and its square would be lost.</summary>
    public static NumberRange UncertaintyMm { get; } = new("an expanded uncertainty above 0", "Write the expanded uncertainty (k = 2) in the unit of the row, or leave it blank.", v => v is >= 1e-9 and <= FarAwayMm);

    /// <summary>A value as read: any length or share that could be measured on an aircraft.</summary>
    public static NumberRange Read { get; } = new("a number of ordinary size", "Write the value that was read.", v => Math.Abs(v) <= FarAwayMm);
}
