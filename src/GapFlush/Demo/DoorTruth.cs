using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>What a door of a demo build truly is, before any gauge touches it; at the reference temperature and in the stage of the readings.</summary>
/// <remarks>
/// <para>Signs: gap deviation = u·(t + w × p) + shape, flush deviation = n·(t + w × p) + shape, with p from the door's centre, u into the door, n outward.
/// Land gap deviation = flush deviation + land error (lapped seal: a proud door opens the seal 1:1).</para>
/// <para>The shape of moulds and parts is free of rigid movement: its least-squares rigid part is zero for gap and flush each, all stations weighing the
/// same. Bulges and mould shifts are planted as they are, so they add a little rigid movement of their own.</para>
/// </remarks>
public sealed record DoorTruth
{
    /// <summary>The door.</summary>
    public required Door Door { get; init; }

    /// <summary>Planted shift of the door from nominal, mm: hanging and mould together.</summary>
    public required Vector3 TranslationMm { get; init; }

    /// <summary>Planted turn of the door about its centre, rad: hanging and mould together.</summary>
    public required Vector3 RotationRad { get; init; }

    /// <summary>Gap at each station, mm.</summary>
    public required IReadOnlyList<double> GapMm { get; init; }

    /// <summary>Flush at each station, mm.</summary>
    public required IReadOnlyList<double> FlushMm { get; init; }

    /// <summary>Land gap at each station, mm.</summary>
    public required IReadOnlyList<double> LandGapMm { get; init; }

    /// <summary>The part of the gap deviation that no rigid movement planted it, mm.</summary>
    public required IReadOnlyList<double> GapShapeMm { get; init; }

    /// <summary>The part of the flush deviation that no rigid movement planted it, mm.</summary>
    public required IReadOnlyList<double> FlushShapeMm { get; init; }

    /// <summary>Temperature of the parts while they were read, °C.</summary>
    public required double TemperatureC { get; init; }

    /// <summary>The true gap at each station at the temperature of the parts, mm: opening and door grow apart from the door's centre.</summary>
    /// <remarks>Gap change = (expansion of surround - expansion of door) × (temperature - reference) × distance from the door's centre along -u.</remarks>
    public required IReadOnlyList<double> GapAtTemperatureMm { get; init; }

    /// <summary>The rigid movement nearest to the whole truth: the planted one, and the small share that bulges and mould shifts have in it.</summary>
    public RigidShare NearestRigid
    {
        get
        {
            RigidShare share = RigidShare.Of(Door, GapShapeMm, FlushShapeMm);
            return new(TranslationMm + share.TranslationMm, RotationRad + share.RotationRad);
        }
    }
}
