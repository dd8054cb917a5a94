using GapFlush.Plan;
using GapFlush.Statistics;

namespace GapFlush.Workflows;

/// <summary>Drift of one station with the pull number of the mould, within one revision.</summary>
/// <param name="Station">Station.</param>
/// <param name="Characteristic">Gap or flush.</param>
/// <param name="Mould">The revision.</param>
/// <param name="SlopePer100Pulls">mm per hundred pulls.</param>
/// <param name="Interval95">95 % interval, mm per hundred pulls.</param>
/// <param name="AdjustedProbability">p value after Benjamini-Hochberg over the door.</param>
public sealed record MouldWear(Station Station, Characteristic Characteristic, string Mould, double SlopePer100Pulls, Interval Interval95, double AdjustedProbability);
