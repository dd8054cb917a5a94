using System.Text.Json;
using GapFlush.Inputs;
using GapFlush.Plan;
using Json.Schema;

namespace GapFlush.Tests.Plan;

/// <summary>The schema says of plan.json what the reader says, as far as one key at a time can be judged.</summary>
public class PlanSchemaTests
{
    private static readonly JsonSchema _schema = JsonSchema.FromText(PlanSchema.Text);

    private static readonly (string Old, string New)[] _good =
    [
        ("\"near_foot_mm\": 5,", ""),
        ("\"set_back_mm\": 8", "\"set_back_mm\": null"),
        ("\"mid-gap\"", "\"curve-carried\""),
        ("\"issue\": \"B\"", "\"issue\": 3"),
        ("\"issue\": \"B\"", "\"issue\": null"),
        ("\"issue\": \"B\"", "\"remark\": [\"a key of one's own\"]"),
        ("\"plan\": \"Small\"", "\"$schema\": \"plan.schema.json\", \"plan\": \"Small\""),
        ("\"axes\": \"x aft, y starboard, z up\"", "\"axes\": { \"x\": \"aft\", \"y\": \"starboard\", \"z\": \"up\" }"),
        ("\"airflow\": [1, 0, 0]", "\"airflow\": [0.8, 0, -0.6]"),
        ("\"airflow\": [1, 0, 0]", "\"airflow\": null"),
        ("prove-conformity", "simple-acceptance"),
        ("\"hand\": \"left\"", "\"hand\": \"none\""),
        ("\"edge_depth_mm\": 6,", ""),
        ("\"gap_definition\": \"edge\"", "\"gap_definition\": \"skin-end\""),
        ("\"flush_definition\": \"mid-gap\"", "\"flush_definition\": \"curve-carried\", \"set_back_mm\": 8"),
        ("\"paint\": \"bare\", \"seal\": \"removed\"", "\"paint\": \"bare\", \"seal\": true"),
        ("0.0000025", "-5e-7"),
        ("\"rain_mm_per_h\": 102", "\"rain_mm_per_h\": null"),
    ];

    private static readonly (string Old, string New)[] _bad =
    [
        ("\"plan\": \"Small\",", ""),
        ("\"plan\": \"Small\"", "\"plan\": \"  \""),
        ("\"plan\": \"Small\"", "\"plan\": 7"),
        ("\"aircraft_type\"", "\"type\""),
        ("\"doors\"", "\"closures\""),
        ("\"issue\": \"B\"", "\"issue\": true"),
        ("\"axes\": \"x aft, y starboard, z up\"", "\"axes\": { \"x\": \"aft\", \"y\": \"starboard\" }"),
        ("\"airflow\": [1, 0, 0]", "\"airflow\": [1, 0]"),
        ("\"airflow\": [1, 0, 0]", "\"airflow\": [1, 0, \"0\"]"),
        ("\"airflow\": [1, 0, 0]", "\"airflow\": [70, 0, 0]"),
        ("\"reference_temperature_c\": 20", "\"reference_temperature_c\": 293.15"),
        ("\"reference_temperature_c\": 20", "\"reference_temperature_c\": \"20\""),
        ("prove-conformity", "prove conformity"),
        ("\"door\": \"S1\"", "\"door\": \"S/1\""),
        ("\"door\": \"S1\",", ""),
        ("\"hand\": \"left\"", "\"hand\": \"port\""),
        ("\"title\": \"Port door\"", "\"title\": 7"),
        ("\"gap_definition\": \"edge\"", "\"gap_definition\": \"G2\""),
        ("\"flush_definition\": \"mid-gap\"", "\"flush_definition\": \"F2\""),
        ("\"edge_depth_mm\": 6", "\"edge_depth_mm\": -6"),
        ("\"depth_mm\": 2,", ""),
        ("\"depth_mm\": 2,", "\"depth_mm\": null,"),
        ("0.0000025", "2.5"),
        ("\"stage\": \"bare\"", "\"name\": \"bare\""),
        ("\"paint\": \"bare\", \"seal\": \"removed\"", "\"paint\": \"bare\", \"seal\": 1"),
        ("\"from\": \"bare\",", ""),
        ("\"edge_build_mm\": 0.1", "\"edge_build_mm\": 100"),
        ("\"pitch_deg\": 11", "\"pitch_deg\": 90"),
        ("\"pitch_deg\": 11, \"roll_deg\": 0", "\"pitch_deg\": 11"),
        ("\"attitude\": \"level\"", "\"attitude\": \"\""),
        ("\"rain_mm_per_h\": 102", "\"rain_mm_per_h\": 0"),
        ("\"attitudes\": [", "\"attitudes\": [ 5,"),
    ];

    public static TheoryData<string, string> Good => [.. _good.Select(g => new TheoryDataRow<string, string>(g.Old, g.New))];

    public static TheoryData<string, string> Bad => [.. _bad.Select(b => new TheoryDataRow<string, string>(b.Old, b.New))];

    [Fact]
    public void The_small_plan_passes_both() => Judge(new SmallPlan(), valid: true);

    [Theory]
    [MemberData(nameof(Good))]
    public void A_good_plan_passes_both(string old, string by) => Judge(new SmallPlan().Edit("plan.json", old, by), valid: true);

    [Theory]
    [MemberData(nameof(Bad))]
    public void A_broken_plan_fails_both(string old, string by) => Judge(new SmallPlan().Edit("plan.json", old, by), valid: false);

    [Fact]
    public void Every_key_that_the_schema_names_is_known_to_the_reader()
    {
        using JsonDocument schema = JsonDocument.Parse(PlanSchema.Text);
        JsonElement root = schema.RootElement, defs = root.GetProperty("$defs");
        string all = string.Join(", ", root.GetProperty("properties").EnumerateObject().Select(p => $"\"{p.Name}\": null"));
        string objects = string.Join(", ", new[] { ("doors", "door"), ("stages", "stage"), ("paint", "paint"), ("attitudes", "attitude") }
            .Select(o => $"\"{o.Item1}\": [{{ {string.Join(", ", defs.GetProperty(o.Item2).GetProperty("properties").EnumerateObject().Select(p => $"\"{p.Name}\": null"))} }}]"));
        foreach (string json in new[] { $"{{ {all} }}", $"{{ {objects} }}" })
            Assert.DoesNotContain(new SmallPlan().Put("plan.json", json).Read().Notices, n => n.Contains("is not one of a plan's", StringComparison.Ordinal));
    }

    private static void Judge(SmallPlan plan, bool valid)
    {
        using JsonDocument document = JsonDocument.Parse(plan["plan.json"]);
        Assert.Equal(valid, _schema.Evaluate(document.RootElement).IsValid);
        Outcome<FitPlan> outcome = plan.Read();
        if (valid) Assert.Empty(outcome.Problems);
        else Assert.Contains(outcome.Problems, p => p.Source == "plan.json");
    }
}
