namespace GapFlush.Reports.Drawing;

/// <summary>Something on a sheet. Lengths are mm, x to the right and y down from the upper left corner.</summary>
public abstract record Shape;
