namespace GapFlush.Drainage;

/// <summary>A drain hole of a channel in one attitude.</summary>
/// <param name="Point">The point it is at.</param>
/// <param name="DiameterMm">Diameter, mm.</param>
/// <param name="HoldUpMm">Head that surface tension may hold up over it, mm: not a fault of slope.</param>
/// <param name="CapacityLPerS">What it passes with the water at the lip, L/s; null without a lip.</param>
/// <param name="EmptyingS">Time for the pool over it to fall from the lip to the head that surface tension holds (1 mm at least), s; null without a lip or a section.</param>
public sealed record HoleInChannel(string Point, double DiameterMm, double HoldUpMm, double? CapacityLPerS, double? EmptyingS);
