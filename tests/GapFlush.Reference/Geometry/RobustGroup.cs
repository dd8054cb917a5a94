using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using GapFlush.Geometry;
using GapFlush.Numerics;

namespace GapFlush.Reference.Geometry;

/// <summary>Robust lines and circles.</summary>
internal sealed partial class RobustGroup : IReferenceGroup
{
    public string Name => "robust";

    public void Compute(ReferenceFolder folder, ReferenceOutput output)
    {
        if (!folder.Has(Name, "expected.csv")) return;
        foreach (IGrouping<string, IReadOnlyDictionary<string, string>> expected in folder.Rows(Name, "expected.csv").GroupBy(r => r["case"]))
        {
            string id = expected.Key;
            if (!folder.Has(Name, id + ".csv")) continue;
            IReadOnlyList<IReadOnlyDictionary<string, string>> rows = folder.Rows(Name, id + ".csv");
            double[] x = [.. rows.Select(r => r.Number("x"))], y = [.. rows.Select(r => r.Number("y"))];
            double? scale = HeldScale(folder, id, expected);
            if (output.Wants(Name, id, "ls.radius")) Circle(output, id, [.. x.Zip(y, (a, b) => new Point2(a, b))], scale);
            else Line(output, id, x, y, scale);
        }
    }

    private void Line(ReferenceOutput output, string id, double[] x, double[] y, double? scale)
    {
        if (RegressionLine.Fit(x, y) is RegressionLine ols) Put("ols", ols.Intercept, ols.Slope);
        if (RobustLine.LeastAbsolute(x, y) is (double intercept, double slope, int, int)) Put("lad", intercept, slope);
        foreach (RobustLoss loss in Enum.GetValues<RobustLoss>())
        {
            string stem = loss.ToString().ToLowerInvariant();
            if (RobustLine.Fit(x, y, loss) is RobustLine found)
            {
                Put(stem + "_mad", found.Intercept, found.Slope);
                output.Add(Name, id, stem + "_mad.scale", found.Scale);
            }
            if (scale is not null && RobustLine.Fit(x, y, loss, scale) is RobustLine held)
            {
                Put(stem + "_fixed", held.Intercept, held.Slope);
                output.Add(Name, id, stem + "_fixed.rejected_rows", string.Join(' ', Enumerable.Range(0, x.Length).Where(i => held.Weights[i] == 0).Select(i => i + 1)));
            }
        }

        void Put(string stem, double intercept, double slope)
        {
            output.Add(Name, id, stem + ".intercept", intercept);
            output.Add(Name, id, stem + ".slope", slope);
        }
    }

    private void Circle(ReferenceOutput output, string id, Point2[] points, double? scale)
    {
        if (CircleFit.Fit(points) is CircleFit plain) output.Add(Name, id, "ls.radius", plain.Radius);
        foreach (RobustLoss loss in Enum.GetValues<RobustLoss>())
        {
            if (scale is not double s || RobustCircle.Fit(points, loss, s) is not RobustCircle circle) continue;
            string stem = loss.ToString().ToLowerInvariant() + "_fixed.";
            output.Add(Name, id, stem + "centre_x", circle.Centre.X);
            output.Add(Name, id, stem + "centre_y", circle.Centre.Y);
            output.Add(Name, id, stem + "radius", circle.Radius);
        }
    }

    // The held scale is given in cases.json, and again in words beside the expected values.
    private static double? HeldScale(ReferenceFolder folder, string id, IEnumerable<IReadOnlyDictionary<string, string>> expected)
    {
        if (folder.Has("cases.json"))
        {
            using JsonDocument cases = JsonDocument.Parse(File.ReadAllText(folder.At("cases.json")));
            foreach (string list in new[] { "robust", "robust_circle" })
            {
                if (!cases.RootElement.TryGetProperty(list, out JsonElement all)) continue;
                foreach (JsonElement one in all.EnumerateArray())
                {
                    if (one.GetProperty("id").GetString() == id && one.TryGetProperty("sigma", out JsonElement sigma)) return sigma.GetDouble();
                }
            }
        }
        foreach (IReadOnlyDictionary<string, string> row in expected)
        {
            Match match = Held().Match(row.GetValueOrDefault("origin", ""));
            if (match.Success) return double.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture);
        }
        return null;
    }

    [GeneratedRegex("scale held at ([0-9.eE+-]+)")]
    private static partial Regex Held();
}
