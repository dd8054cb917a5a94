using GapFlush.Reference.Geometry;

namespace GapFlush.Tests.Reference;

/// <summary>The groups of fixtures/reference/geometry that no folder's own tests hold: the door at its stations, and the small ones.
/// Tolerances from the README of the values; computed there in 60 digits.</summary>
public class GeometryReferenceTests
{
    // 1e-11 rad is 1e-8 mm at a metre; the README asks 1e-6 mm of shifts and 1e-8 mm of the rest.
    [Fact]
    public void Displacements_and_point_to_plane_fits_agree() => Assert.Equal(94, ReferenceCheck.Hold("geometry", new StationsGroup(), (_, quantity, _) =>
        quantity.Contains("condition", StringComparison.Ordinal) || quantity.Contains("rank", StringComparison.Ordinal) || quantity.EndsWith("dof_used", StringComparison.Ordinal) ? 0
        : quantity.EndsWith("_rad", StringComparison.Ordinal) ? 1e-11
        : quantity.EndsWith("_deg", StringComparison.Ordinal) ? 1e-9
        : 1e-8));

    [Fact]
    public void Seal_cases_agree() => Assert.True(ReferenceCheck.Hold("geometry", new SealGroup(), (_, _, value) => 1e-9 * Math.Abs(value)) > 0);

    [Fact]
    public void Thermal_cases_agree() => Assert.True(ReferenceCheck.Hold("geometry", new ThermalGroup(), (_, _, value) => 1e-15 + 1e-9 * Math.Abs(value)) > 0);

    [Fact]
    public void Steps_in_air_agree() => Assert.True(ReferenceCheck.Hold("geometry", new AeroGroup(), (_, _, value) => 1e-9 * Math.Abs(value)) > 0);
}
