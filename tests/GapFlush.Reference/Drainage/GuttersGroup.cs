using System.Globalization;
using System.Text.RegularExpressions;
using GapFlush.Drainage;
using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Reference.Drainage;

internal sealed partial class GuttersGroup : IReferenceGroup
{
    public string Name => "gutters";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has(Name, "parameters.csv") || !folder.Has(Name, "expected.csv")) return;
        // The attitudes asked for stand in the names of the quantities.
        ILookup<string, string> attitudes = folder.Rows(Name, "expected.csv")
            .Where(r => AttitudeName().IsMatch(r["quantity"])).Select(r => (Case: r["case"], Tag: AttitudeName().Match(r["quantity"]).Value))
            .Distinct().ToLookup(r => r.Case, r => r.Tag);
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows(Name, "parameters.csv"))
        {
            if (folder.Has(Name, row["case"] + ".csv")) Gutter(row, folder.Rows(Name, row["case"] + ".csv"), [.. attitudes[row["case"]]], output);
        }
    }

    private void Gutter(IReadOnlyDictionary<string, string> row, IReadOnlyList<IReadOnlyDictionary<string, string>> vertices, IReadOnlyList<string> attitudes, ReferenceOutput output)
    {
        string id = row["case"];
        if (FloorOf(id, row, vertices) is not ChannelFloor floor) return;
        AttitudeBox box = new(row.Number("pitch_min"), row.Number("pitch_max"), row.Number("roll_min"), row.Number("roll_max"));
        double least = double.PositiveInfinity;
        for (int i = 0; i + 1 < vertices.Count; i++)
        {
            if (floor.MeantStep(i) is not Vector3 step) continue;
            WorstFall worst = box.LeastFall(step);
            least = Math.Min(least, worst.Slope.Percent);
            output.Add(Name, id, $"segment_{i + 1}.fall_level_pct", new AttitudeBox(0, 0, 0, 0).LeastFall(step).Slope.Percent);
            output.Add(Name, id, $"segment_{i + 1}.fall_worst_pct", worst.Slope.Percent);
            output.Add(Name, id, $"segment_{i + 1}.worst_at", $"pitch {Degrees(worst.PitchDeg)} roll {Degrees(worst.RollDeg)}");
        }
        if (double.IsFinite(least))
        {
            output.Add(Name, id, "least_fall_over_envelope_pct", least);
            output.Add(Name, id, "self_draining_by_fall", least >= row.Number("min_fall_pct") ? "yes" : "no");
        }
        bool dry = true;
        foreach (string tag in attitudes)
        {
            Match angles = AttitudeName().Match(tag);
            ChannelWater water = new FloorNetwork([floor]).In(UpVector.For(Parse(angles.Groups["pitch"].Value), Parse(angles.Groups["roll"].Value))).Channels[0];
            output.Add(Name, id, $"{tag}.height_range", water.HeightRangeMm);
            if (water.PondDepthMm is null)
            {
                output.Add(Name, id, $"{tag}.ponds", "no outlet");
                dry = false;
                continue;
            }
            output.Add(Name, id, $"{tag}.pond_count", water.Ponds.Count.ToString(CultureInfo.InvariantCulture));
            for (int k = 0; k < water.Ponds.Count; k++)
            {
                output.Add(Name, id, $"{tag}.pond{k + 1}.from_mm", water.Ponds[k].FromMm);
                output.Add(Name, id, $"{tag}.pond{k + 1}.to_mm", water.Ponds[k].ToMm);
                output.Add(Name, id, $"{tag}.pond{k + 1}.max_depth_mm", water.Ponds[k].DepthMm!.Value);
                if (water.Ponds[k].VolumeMl is double volume) output.Add(Name, id, $"{tag}.pond{k + 1}.volume_mL", volume);
            }
            if (water.PondVolumeMl is double total) output.Add(Name, id, $"{tag}.total_volume_mL", total);
            dry &= water.Ponds.Count == 0;
        }
        if (attitudes.Count > 0) output.Add(Name, id, "dry_in_all_listed_attitudes", dry ? "yes" : "no");
    }

    private static ChannelFloor? FloorOf(string id, IReadOnlyDictionary<string, string> row, IReadOnlyList<IReadOnlyDictionary<string, string>> vertices)
    {
        double size = row.Number("width_or_radius_mm_or_side_slope");
        (ChannelShape Shape, double? Width, double? Side)? section = row["section"] switch
        {
            "rectangular" => (ChannelShape.Rectangular, size, null),
            "triangular" => (ChannelShape.Triangular, null, size),
            "semicircular" => (ChannelShape.HalfRound, 2 * size, null),
            _ => null,
        };
        if (section is null || vertices.Count < 2) return null;
        (ChannelShape shape, double? width, double? side) = section.Value;
        double? lip = row.NumberOrNull("lip_mm");
        return ChannelFloor.Nominal(new(id, null, [.. vertices.Select((v, i) => new ChannelPoint(v["vertex"], new(v.Number("fs_mm"), v.Number("bl_mm"), v.Number("wl_mm")),
            shape, width, lip, side, null, v["drain"] == "1" ? (i == 0 || i == vertices.Count - 1 ? ChannelOutlet.OpenEnd : ChannelOutlet.Hole) : ChannelOutlet.None, null, null, null, 0))]));
    }

    /// <summary>Eight significant digits, trailing zeros dropped but for one decimal; zero as 0.</summary>
    private static string Degrees(double value)
    {
        if (Math.Abs(value) < 1e-12) return "0";
        string text = value.ToString("G8", CultureInfo.InvariantCulture);
        return text.Contains('.', StringComparison.Ordinal) ? text : text + ".0";
    }

    private static double Parse(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);

    [GeneratedRegex(@"^pitch(?<pitch>-?[0-9.]+)_roll(?<roll>-?[0-9]+(\.[0-9]+)?)")]
    private static partial Regex AttitudeName();
}
