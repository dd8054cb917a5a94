using System.Globalization;
using GapFlush.Drainage;

namespace GapFlush.Reference.Drainage;

internal sealed class GutterCapacityGroup : IReferenceGroup
{
    public string Name => "gutter_capacity";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (folder.Has("gutter_capacity_inputs.csv"))
        {
            foreach (IReadOnlyDictionary<string, string> row in folder.Rows("gutter_capacity_inputs.csv")) Rule(row, output);
        }
        if (!folder.Has("gutter_capacity_expected.csv")) return;
        Water water = FolderWater.Of(folder);
        foreach (string id in folder.Rows("gutter_capacity_expected.csv").Select(r => r["case"]).Where(c => c.StartsWith("theory_", StringComparison.Ordinal)).Distinct())
        {
            if (SectionOf(id["theory_".Length..]) is not ChannelSection section) continue;
            (double ratio, double coefficient) = LevelGutterRule.Theory(section, 1, water);
            output.Add(Name, id, "upstream_over_critical_depth", ratio);
            output.Add(Name, id, "coefficient_of_A_to_1.25", coefficient);
        }
    }

    private void Rule(IReadOnlyDictionary<string, string> row, ReferenceOutput output)
    {
        GutterKind? kind = row["kind"] switch
        {
            "semicircular" => GutterKind.HalfRound,
            "rectangular" => GutterKind.SquareSided,
            "valley" => GutterKind.Valley,
            _ => null,
        };
        if (kind is not GutterKind known) return;
        LevelGutterRule rule = LevelGutterRule.For(known, row.Number("area_mm2"), row.Number("length_mm"), row.Number("depth_mm"));
        output.Add(Name, row["id"], "nominal_capacity", rule.NominalLPerS);
        output.Add(Name, row["id"], "design_capacity_short", rule.ShortDesignLPerS);
        output.Add(Name, row["id"], "length_over_depth", rule.LengthOverDepth);
        if (rule.LengthFactor is not double factor)
        {
            output.Add(Name, row["id"], "length_factor_level", "outside table");
            return;
        }
        output.Add(Name, row["id"], "length_factor_level", factor);
        output.Add(Name, row["id"], "design_capacity_level", rule.DesignLPerS!.Value);
    }

    /// <summary>A section of depth 1 from shape and proportion: rectangular_square, rectangular_3wide, semicircular_full, triangular_60deg (angle between the sides).</summary>
    private static ChannelSection? SectionOf(string words)
    {
        string[] parts = words.Split('_');
        if (parts.Length != 2) return null;
        double? number = double.TryParse(parts[1].Replace("wide", "", StringComparison.Ordinal).Replace("deg", "", StringComparison.Ordinal), NumberStyles.Float, CultureInfo.InvariantCulture, out double value) ? value : null;
        return (parts[0], parts[1]) switch
        {
            ("rectangular", "square") => new RectangularSection(1),
            ("rectangular", _) when number is double wide => new RectangularSection(wide),
            ("semicircular", "full") => new HalfRoundSection(1),
            ("triangular", _) when number is double angle => new TriangularSection(Slope.FromDegrees(angle / 2).Ratio, Slope.FromDegrees(angle / 2).Ratio),
            _ => null,
        };
    }
}
