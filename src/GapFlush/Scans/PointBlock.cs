namespace GapFlush.Scans;

/// <summary>Takes a block of points as they are read: x, y, z in turn, all finite, in the file's own unit. The span is reused once the call returns.</summary>
public delegate void PointBlock(ReadOnlySpan<double> coordinates);
