using GapFlush.Drainage;

namespace GapFlush.Reference.Drainage;

internal sealed class SlopeGroup : IReferenceGroup
{
    public string Name => "slope";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has("slope_inputs.csv")) return;
        foreach (IReadOnlyDictionary<string, string> row in folder.Rows("slope_inputs.csv"))
        {
            double value = row.Number("value");
            Slope? read = row["unit"] switch
            {
                "pct" => Slope.FromPercent(value),
                "mm_per_m" or "permille" => Slope.FromMmPerM(value),
                "deg" => Slope.FromDegrees(value),
                "one_in_n" => Slope.FromOneInN(value),
                "in_per_ft" => Slope.FromInchesPerFoot(value),
                _ => null,
            };
            if (read is not Slope slope) continue;
            output.Add(Name, row["id"], "pct", slope.Percent);
            output.Add(Name, row["id"], "mm_per_m", slope.MmPerM);
            output.Add(Name, row["id"], "deg", slope.Degrees);
            if (slope.OneInN is double n) output.Add(Name, row["id"], "one_in_n", n);
            else output.Add(Name, row["id"], "one_in_n", "unbounded");
            output.Add(Name, row["id"], "in_per_ft", slope.InchesPerFoot);
            output.Add(Name, row["id"], "pct_if_run_taken_along_slope", slope.PercentAlongChannel);
        }
    }
}
