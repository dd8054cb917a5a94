using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Measurements;

/// <summary>How the temperature of the parts moves one characteristic at one station: door and surround expand differently about the door's centre.</summary>
/// <remarks>METHOD.md, eq. 5. A lapped seal opens where the door grows outward, as the flush does; a seal between the edges opens as the gap does.</remarks>
/// <param name="ArmMm">Distance from the door's centre along the direction in which the characteristic opens, mm.</param>
/// <param name="DifferencePerK">Expansion of the door less that of the surround, 1/K.</param>
/// <param name="DifferenceUncertaintyPerK">Standard uncertainty of that difference, 1/K.</param>
internal readonly record struct TemperatureEffect(double ArmMm, double DifferencePerK, double DifferenceUncertaintyPerK)
{
    /// <summary>The effect; null where the plan gives no expansions or the characteristic is not moved.</summary>
    public static TemperatureEffect? Of(FitPlan plan, Door door, Station station, Characteristic characteristic)
    {
        if (door.ExpansionPerK is not double doorPerK || door.SurroundExpansionPerK is not double surroundPerK) return null;
        Vector3? along = characteristic == Characteristic.Gap ? station.IntoDoor : characteristic == Characteristic.Flush ? station.Normal
            : characteristic != Characteristic.LandGap || plan.SealOf(door.Code, station.Zone) is not Seal seal ? null
            : seal.Joint == SealJoint.Lap ? station.Normal : station.IntoDoor;
        return along is not Vector3 direction ? null
            : new((station.Position - door.Centre).Dot(direction), doorPerK - surroundPerK, PlanConditions.ExpansionHalfWidthShare * Math.Sqrt(doorPerK * doorPerK + surroundPerK * surroundPerK) / Math.Sqrt(3));
    }

    /// <summary>What is added to a reading taken so much warmer than the reference temperature, mm.</summary>
    public double CorrectionMm(double warmerK) => -DifferencePerK * warmerK * ArmMm;

    /// <summary>What that correction may be wrong by.</summary>
    public IReadOnlyList<UncertaintyComponent> Uncertainty(double warmerK)
    {
        double uTemperature = PlanConditions.TemperatureHalfWidthK / Math.Sqrt(3);
        return
        [
            UncertaintyComponent.Of("temperature of the parts", DifferencePerK * ArmMm, uTemperature),
            UncertaintyComponent.Of("expansion of door and surround", warmerK * ArmMm, DifferenceUncertaintyPerK),
            UncertaintyComponent.OfProduct("temperature and expansion together", ArmMm, uTemperature, DifferenceUncertaintyPerK),
        ];
    }
}
