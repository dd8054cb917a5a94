namespace GapFlush.Seals;

/// <summary>How much of its height a seal has lost for good, and what that leaves.</summary>
/// <remarks>
/// <para>Source: ISO 815-1 and ASTM D395 [definitions as quoted on materials-database pages; the standards were not opened]. METHOD.md eq. 4 and 5.</para>
/// </remarks>
public static class CompressionSet
{
    /// <summary>Share of the deflection that is not recovered, per cent (ISO 815-1; ASTM D395 method B).</summary>
    /// <param name="originalMm">Height before, mm.</param>
    /// <param name="recoveredMm">Height after recovery, mm.</param>
    /// <param name="heldMm">Height while held, mm.</param>
    /// <exception cref="ArgumentException">A height is not positive, or the seal was not compressed.</exception>
    public static double OfDeflectionPercent(double originalMm, double recoveredMm, double heldMm)
    {
        Check(originalMm, recoveredMm);
        if (!(heldMm > 0 && heldMm < originalMm)) throw new ArgumentException(Invariant($"The held height {heldMm} must lie between 0 and the original height {originalMm}."), nameof(heldMm));
        return 100 * (originalMm - recoveredMm) / (originalMm - heldMm);
    }

    /// <summary>Share of the thickness that is not recovered, per cent (ASTM D395 method A).</summary>
    /// <exception cref="ArgumentException">A height is not positive.</exception>
    public static double OfThicknessPercent(double originalMm, double recoveredMm)
    {
        Check(originalMm, recoveredMm);
        return 100 * (originalMm - recoveredMm) / originalMm;
    }

    /// <summary>Compression of a seal of some free height in a gap, per cent of that height; negative where it does not touch.</summary>
    /// <exception cref="ArgumentException">The free height is not positive.</exception>
    public static double CompressionPercent(double freeHeightMm, double gapMm)
    {
        Check(freeHeightMm, freeHeightMm);
        return 100 * (freeHeightMm - gapMm) / freeHeightMm;
    }

    /// <summary>Free height after a set of the deflection, for a seal held at a compression: h1 = h0 (1 - set x compression).</summary>
    /// <param name="freeHeightMm">Free height now, mm.</param>
    /// <param name="compressionPercent">Compression it is held at, per cent; without contact nothing is lost.</param>
    /// <param name="setPercent">Set, per cent of the deflection.</param>
    public static double FreeHeightAfterMm(double freeHeightMm, double compressionPercent, double setPercent) =>
        freeHeightMm * (1 - setPercent / 100 * Math.Max(0, compressionPercent) / 100);

    private static void Check(double a, double b)
    {
        if (!(a > 0) || !(b > 0) || !double.IsFinite(a) || !double.IsFinite(b)) throw new ArgumentException(Invariant($"Heights must be positive numbers; found {a} and {b}."));
    }
}
