using System.Runtime.CompilerServices;
using GapFlush.Geometry;

namespace GapFlush.Plan;

/// <summary>One closure in one opening, with its stations in order round the outline.</summary>
public sealed record Door
{
    // By the list of stations, so that a copy of a door with other stations has its own.
    private static readonly ConditionalWeakTable<IReadOnlyList<Station>, StrongBox<Point3>> Centres = [];

    /// <summary>The code, such as <c>P1</c>.</summary>
    public required string Code { get; init; }

    /// <summary>What people call it.</summary>
    public required string Title { get; init; }

    /// <summary>Which side of the aircraft.</summary>
    public required Hand Hand { get; init; }

    /// <summary>What a gap of this door means.</summary>
    public required GapDefinition GapDefinition { get; init; }

    /// <summary>What a flush of this door means.</summary>
    public required FlushDefinition FlushDefinition { get; init; }

    /// <summary>Linear expansion of the door, 1/K, or null where the plan gives none.</summary>
    public double? ExpansionPerK { get; init; }

    /// <summary>Linear expansion of the surround, 1/K, or null where the plan gives none.</summary>
    public double? SurroundExpansionPerK { get; init; }

    /// <summary>Mean distance of the seal's load from the hinge line, mm, or null; given together with <see cref="HandleLeverMm"/>.</summary>
    public double? SealLeverMm { get; init; }

    /// <summary>Distance of the handle from the hinge line, mm, or null.</summary>
    public double? HandleLeverMm { get; init; }

    /// <summary>A stretch below the least compression that is longer than this is called a leak path, mm; null where the plan gives no length, so that every such stretch counts.</summary>
    public double? LeakLengthMm { get; init; }

    /// <summary>The stations in order round the closed outline; at least three.</summary>
    public required IReadOnlyList<Station> Stations { get; init; }

    /// <summary>Length once round the seam, mm, straight from station to station, closing side included.</summary>
    public required double PerimeterMm { get; init; }

    /// <summary>The mean of the station positions: the point about which turns of this door are stated.</summary>
    public Point3 Centre => Centres.GetValue(Stations, static all => new(Point3.Mean([.. all.Select(s => s.Position)]))).Value;

    /// <summary>The zones in the order in which they are met round the outline.</summary>
    public IReadOnlyList<string> Zones => [.. Stations.Select(s => s.Zone).Distinct()];

    /// <summary>The definition code stored with a value of a characteristic: that of the gap or flush it comes from, else null.</summary>
    public string? DefinitionOf(Characteristic characteristic) =>
        characteristic == Characteristic.Gap || characteristic == Characteristic.GapRange || characteristic == Characteristic.GapTaper ? GapDefinition.Code
        : characteristic == Characteristic.Flush || characteristic == Characteristic.StepForward || characteristic == Characteristic.StepAft || characteristic == Characteristic.Twist ? FlushDefinition.Code
        : null;

    /// <summary>The station of a name, or null; letter case matters.</summary>
    public Station? Find(string station) => Stations.FirstOrDefault(s => s.Name == station);
}
