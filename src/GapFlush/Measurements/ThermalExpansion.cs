namespace GapFlush.Measurements;

/// <summary>What temperature does to an opening, to the door in it, and to a scale laid on either.</summary>
/// <remarks>
/// <para>Method: linear expansion at one temperature throughout, door free to float. METHOD.md.</para>
/// <para>Accuracy: 1e-9 relative against the computed cases of the thermal group (ReferenceTests).</para>
/// <para>Source: definition of the linear expansion coefficient; ISO 1:2022 for the reference temperature [abstract seen, standard not opened].</para>
/// </remarks>
public static class ThermalExpansion
{
    /// <summary>Size at a temperature, mm.</summary>
    /// <param name="sizeMm">Size at the reference temperature, mm.</param>
    /// <param name="expansionPerK">Linear expansion, 1/K.</param>
    /// <param name="temperatureC">Temperature, °C.</param>
    /// <param name="referenceC">Reference temperature, °C.</param>
    public static double SizeAt(double sizeMm, double expansionPerK, double temperatureC, double referenceC = 20) =>
        sizeMm * (1 + expansionPerK * (temperatureC - referenceC));

    /// <summary>Both gaps across a door together at a temperature, mm: opening less door.</summary>
    /// <param name="openingMm">Opening at the reference temperature, mm.</param>
    /// <param name="doorMm">Door at the reference temperature, mm.</param>
    /// <param name="openingPerK">Linear expansion of the opening, 1/K.</param>
    /// <param name="doorPerK">Linear expansion of the door, 1/K.</param>
    /// <param name="temperatureC">Temperature, °C.</param>
    /// <param name="referenceC">Reference temperature, °C.</param>
    public static double TotalGapAt(double openingMm, double doorMm, double openingPerK, double doorPerK, double temperatureC, double referenceC = 20) =>
        SizeAt(openingMm, openingPerK, temperatureC, referenceC) - SizeAt(doorMm, doorPerK, temperatureC, referenceC);

    /// <summary>Change of both gaps together from the reference temperature to another, mm; free of the cancellation that a difference of two gaps suffers.</summary>
    public static double TotalGapChange(double openingMm, double doorMm, double openingPerK, double doorPerK, double temperatureC, double referenceC = 20) =>
        (openingMm * openingPerK - doorMm * doorPerK) * (temperatureC - referenceC);

    /// <summary>First-order correction to add to a reading of a scale, mm: reading times the difference of expansions times the temperature difference.</summary>
    public static double FirstOrderCorrection(double readingMm, double scalePerK, double partPerK, double temperatureC, double referenceC = 20) =>
        readingMm * (scalePerK - partPerK) * (temperatureC - referenceC);

    /// <summary>Length at the reference temperature of a part read with a scale, both at another temperature, mm. The scale is right at the reference temperature.</summary>
    public static double LengthAtReference(double readingMm, double scalePerK, double partPerK, double temperatureC, double referenceC = 20) =>
        readingMm * (1 + scalePerK * (temperatureC - referenceC)) / (1 + partPerK * (temperatureC - referenceC));

    /// <summary>In-plane expansion of a quasi-isotropic laminate of one kind of ply, in the unit of the ply's own expansions.</summary>
    /// <remarks><para>Source: classical lamination theory, as in Kaw, Mechanics of Composite Materials [from memory].</para></remarks>
    /// <param name="e1">Stiffness along the fibre, any unit.</param>
    /// <param name="e2">Stiffness across, same unit.</param>
    /// <param name="nu12">Major Poisson ratio.</param>
    /// <param name="alpha1">Expansion along the fibre.</param>
    /// <param name="alpha2">Expansion across.</param>
    public static double QuasiIsotropic(double e1, double e2, double nu12, double alpha1, double alpha2)
    {
        double nu21 = nu12 * e2 / e1, common = 1 - nu12 * nu21;
        double q11 = e1 / common, q22 = e2 / common, q12 = nu12 * e2 / common;
        return ((q11 + q12) * alpha1 + (q12 + q22) * alpha2) / (q11 + 2 * q12 + q22);
    }
}
