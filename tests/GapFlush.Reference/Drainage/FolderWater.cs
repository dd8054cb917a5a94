using System.Globalization;
using System.Text.Json;
using GapFlush.Drainage;

namespace GapFlush.Reference.Drainage;

/// <summary>The properties of water that a folder was made with: those of its cases.json, else of water at 20 °C.</summary>
internal static class FolderWater
{
    public static Water Of(ReferenceFolder folder)
    {
        Water water = Water.At20C;
        if (!folder.Has("cases.json")) return water;
        using JsonDocument cases = JsonDocument.Parse(File.ReadAllText(folder.At("cases.json")));
        if (!cases.RootElement.TryGetProperty("constants", out JsonElement constants)) return water;
        return new(Value("g") ?? water.Gravity, Value("nu_water_20C") ?? water.KinematicViscosity, Value("rho_water_20C") ?? water.Density, Value("sigma_water_20C") ?? water.SurfaceTension);

        double? Value(string name) => constants.TryGetProperty(name, out JsonElement element)
            && double.TryParse(element.ToString(), NumberStyles.Float, CultureInfo.InvariantCulture, out double value) ? value : null;
    }

    /// <summary>Section of a row with the columns shape, b, z, z2, r (or the same with _mm), in the row's own unit.</summary>
    public static ChannelSection? Section(IReadOnlyDictionary<string, string> row)
    {
        double? b = row.NumberOrNull("b") ?? row.NumberOrNull("b_mm"), r = row.NumberOrNull("r") ?? row.NumberOrNull("r_mm"), z = row.NumberOrNull("z");
        return row.GetValueOrDefault("shape") switch
        {
            "rectangular" when b is not null => new RectangularSection(b.Value),
            "trapezoidal" when b is not null && z is not null => new TrapezoidalSection(b.Value, z.Value),
            "triangular" when z is not null => new TriangularSection(z.Value, row.NumberOrNull("z2") ?? z.Value),
            "semicircular" when r is not null => new HalfRoundSection(r.Value),
            "circular" when r is not null => new PipeSection(r.Value),
            _ => null,
        };
    }

    /// <summary>The rim of a half round is its radius; other sections go on.</summary>
    public static double? Rim(IReadOnlyDictionary<string, string> row) => row.GetValueOrDefault("shape") == "semicircular" ? row.NumberOrNull("r") ?? row.NumberOrNull("r_mm") : null;
}
