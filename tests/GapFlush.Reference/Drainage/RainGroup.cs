using GapFlush.Drainage;

namespace GapFlush.Reference.Drainage;

internal sealed class RainGroup : IReferenceGroup
{
    public string Name => "rain";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has("rain_inputs.csv")) return;
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows("rain_inputs.csv"))
        {
            double value = row.Number("value");
            RainIntensity? read = row["unit"] switch
            {
                "mm_per_h" or "L_per_m2_h" => new(value),
                "mm_per_min" => RainIntensity.FromMmPerMin(value),
                "in_per_h" => RainIntensity.FromInchesPerH(value),
                "L_per_s_m2" => RainIntensity.FromLitresPerSecondM2(value),
                _ => null,
            };
            if (read is not RainIntensity rain) continue;
            output.Add(Name, row["id"], "mm_per_h", rain.MmPerH);
            output.Add(Name, row["id"], "mm_per_min", rain.MmPerMin);
            output.Add(Name, row["id"], "in_per_h", rain.InchesPerH);
            output.Add(Name, row["id"], "L_per_s_per_m2", rain.LitresPerSecondM2);
            if (row.NumberOrNull("area_m2") is not double area) continue;
            output.Add(Name, row["id"], "flow_L_per_s", rain.LitresPerSecond(area));
            output.Add(Name, row["id"], "flow_L_per_min", 60 * rain.LitresPerSecond(area));
        }
    }
}
