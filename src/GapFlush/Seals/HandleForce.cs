namespace GapFlush.Seals;

/// <summary>What the hand feels of the seal's load.</summary>
public static class HandleForce
{
    /// <summary>Force at the handle of a rigid hinged door, N; friction, latch ramp and trapped air come on top. METHOD.md eq. 3.</summary>
    /// <param name="closingLoadN">Load of the seal, N.</param>
    /// <param name="sealLeverMm">Mean distance of the seal's load from the hinge line, mm.</param>
    /// <param name="handleLeverMm">Distance of the handle from the hinge line, mm.</param>
    /// <exception cref="ArgumentException">A lever arm is not positive.</exception>
    public static double AtHandleN(double closingLoadN, double sealLeverMm, double handleLeverMm)
    {
        if (!(sealLeverMm > 0) || !(handleLeverMm > 0)) throw new ArgumentException(Invariant($"Lever arms must be positive; found {sealLeverMm} and {handleLeverMm} mm."));
        return closingLoadN * sealLeverMm / handleLeverMm;
    }
}
