namespace GapFlush.Sections;

/// <summary>Standard uncertainties of the sides' own places against nominal at a station, mm: of the fit, of passes that disagree, of the scanner, and of the registration.</summary>
/// <param name="SurroundEdgeMm">Edge of the surround along u.</param>
/// <param name="SurroundFaceMm">Face of the surround along n.</param>
/// <param name="DoorEdgeMm">Edge of the door along u.</param>
/// <param name="DoorFaceMm">Face of the door along n.</param>
public sealed record SideUncertainty(double SurroundEdgeMm, double SurroundFaceMm, double DoorEdgeMm, double DoorFaceMm)
{
    /// <summary>The same with what a place is known to along u and along n from the registration.</summary>
    internal SideUncertainty With(double edgeMm, double faceMm) =>
        new(double.Hypot(SurroundEdgeMm, edgeMm), double.Hypot(SurroundFaceMm, faceMm), double.Hypot(DoorEdgeMm, edgeMm), double.Hypot(DoorFaceMm, faceMm));
}
