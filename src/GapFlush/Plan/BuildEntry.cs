namespace GapFlush.Plan;

/// <summary>One row of <c>builds.csv</c>: what was made in which mould revision.</summary>
/// <param name="Build">Serial of the aircraft.</param>
/// <param name="Sequence">Place in the order of building.</param>
/// <param name="Door">Door code.</param>
/// <param name="DoorMould">Revision of the door mould, or null.</param>
/// <param name="SurroundMould">Revision of the surround mould, or null.</param>
/// <param name="DoorPull">Pull number of the door from its mould, or null.</param>
/// <param name="CompletedOn">Day of completion, or null.</param>
public sealed record BuildEntry(string Build, int Sequence, string Door, string? DoorMould, string? SurroundMould, int? DoorPull, DateOnly? CompletedOn);
