namespace GapFlush.Plan;

/// <summary>What one value of a characteristic speaks of.</summary>
public enum CharacteristicScope
{
    /// <summary>One station.</summary>
    Station,

    /// <summary>A zone of a door.</summary>
    Zone,

    /// <summary>A whole door.</summary>
    Door,

    /// <summary>A drain channel in one attitude.</summary>
    Channel,
}

/// <summary>What is measured or derived: gap, flush, compression and the rest of the fixed list.</summary>
/// <remarks>There is one instance for each code, so instances may be compared by reference or with ==.</remarks>
public sealed class Characteristic
{
    private Characteristic(string code, string unit, CharacteristicScope scope, bool isRead, string words) =>
        (Code, Unit, Scope, IsRead, Words) = (code, unit, scope, isRead, words);

    /// <summary>Clear distance across the seam, mm; positive when open.</summary>
    public static Characteristic Gap { get; } = new("gap", "mm", CharacteristicScope.Station, true, "gap");

    /// <summary>Height of the door over the surround, mm; positive where the door stands proud.</summary>
    public static Characteristic Flush { get; } = new("flush", "mm", CharacteristicScope.Station, true, "flush");

    /// <summary>Step that faces the airflow, mm, never negative.</summary>
    public static Characteristic StepForward { get; } = new("step_forward", "mm", CharacteristicScope.Station, false, "step facing the airflow");

    /// <summary>Step that faces away from the airflow, mm, never negative.</summary>
    public static Characteristic StepAft { get; } = new("step_aft", "mm", CharacteristicScope.Station, false, "step facing away from the airflow");

    /// <summary>Largest minus smallest gap of a zone, mm.</summary>
    public static Characteristic GapRange { get; } = new("gap_range", "mm", CharacteristicScope.Zone, false, "gap range");

    /// <summary>Least-squares slope of the gap along a zone, mm per m; positive where the gap widens with rising station order.</summary>
    public static Characteristic GapTaper { get; } = new("gap_taper", "mm/m", CharacteristicScope.Zone, false, "gap taper");

    /// <summary>Alternating sum of the flush at the four corners, mm: what no hinge move removes.</summary>
    public static Characteristic Twist { get; } = new("twist", "mm", CharacteristicScope.Door, false, "twist");

    /// <summary>Distance from seal carrier to seal land, mm.</summary>
    public static Characteristic LandGap { get; } = new("land_gap", "mm", CharacteristicScope.Station, true, "seal land gap");

    /// <summary>Seal compression, per cent of free height; negative where the seal does not touch.</summary>
    public static Characteristic Compression { get; } = new("compression", "%", CharacteristicScope.Station, false, "seal compression");

    /// <summary>Force that closes the seal round a whole door, N.</summary>
    public static Characteristic ClosingLoad { get; } = new("closing_load", "N", CharacteristicScope.Door, false, "closing load");

    /// <summary>Force at the handle that the seal puts up against closing, N.</summary>
    public static Characteristic HandleForce { get; } = new("handle_force", "N", CharacteristicScope.Door, false, "handle force");

    /// <summary>Slope of a drain channel, per cent; positive where water runs to the outlet.</summary>
    public static Characteristic Slope { get; } = new("slope", "%", CharacteristicScope.Channel, false, "slope");

    /// <summary>Depth of the deepest pond of a drain channel, mm.</summary>
    public static Characteristic PondDepth { get; } = new("pond_depth", "mm", CharacteristicScope.Channel, false, "pond depth");

    /// <summary>Every characteristic there is, in the order of the contract.</summary>
    public static IReadOnlyList<Characteristic> All { get; } =
        [Gap, Flush, StepForward, StepAft, GapRange, GapTaper, Twist, LandGap, Compression, ClosingLoad, HandleForce, Slope, PondDepth];

    /// <summary>The code used in files.</summary>
    public string Code { get; }

    /// <summary>The unit of every stored value.</summary>
    public string Unit { get; }

    /// <summary>What one value speaks of.</summary>
    public CharacteristicScope Scope { get; }

    /// <summary>True where a gauge reads it; false where it is derived from others.</summary>
    public bool IsRead { get; }

    /// <summary>The name in running text.</summary>
    public string Words { get; }

    /// <summary>The characteristic of a code, or null when there is none; letter case does not matter.</summary>
    public static Characteristic? Find(string code) => All.FirstOrDefault(c => string.Equals(c.Code, code, StringComparison.OrdinalIgnoreCase));

    /// <summary>The code.</summary>
    public override string ToString() => Code;
}
