using System.Text.RegularExpressions;
using GapFlush.Geometry;
using GapFlush.Inputs;

namespace GapFlush.Plan.Files;

/// <summary>What <c>plan.json</c> says, as far as it could be read.</summary>
internal sealed partial class PlanJson
{
    private static readonly Dictionary<string, Hand> _hands = new() { ["left"] = Hand.Left, ["right"] = Hand.Right, ["none"] = Hand.None };

    private static readonly Dictionary<string, DecisionRule> _rules = new()
    {
        ["prove-conformity"] = DecisionRule.ProveConformity,
        ["simple-acceptance"] = DecisionRule.SimpleAcceptance,
    };

    /// <summary>Name of the plan.</summary>
    public string Name { get; private set; } = "";

    /// <summary>The plan's own revision.</summary>
    public string? Issue { get; private set; }

    /// <summary>The aircraft type.</summary>
    public string AircraftType { get; private set; } = "";

    /// <summary>What the axes mean.</summary>
    public string Axes { get; private set; } = FitPlan.UsualAxes;

    /// <summary>Unit vector of the airflow.</summary>
    public Vector3? Airflow { get; private set; }

    /// <summary>Reference temperature, °C.</summary>
    public double ReferenceTemperatureC { get; private set; } = 20;

    /// <summary>The decision rule.</summary>
    public DecisionRule DecisionRule { get; private set; }

    /// <summary>The doors, still without stations, each with its line.</summary>
    public IReadOnlyList<(Door Door, int Line)> Doors { get; private set; } = [];

    /// <summary>The door codes; null where one of them cannot be used.</summary>
    public IReadOnlyList<string>? DoorCodes { get; private set; }

    /// <summary>The stages.</summary>
    public IReadOnlyList<Stage> Stages { get; private set; } = [];

    /// <summary>The stage names; null where one of them cannot be used.</summary>
    public IReadOnlyList<string>? StageNames { get; private set; }

    /// <summary>The paint allowances.</summary>
    public IReadOnlyList<PaintAllowance> Paint { get; private set; } = [];

    /// <summary>The attitudes.</summary>
    public IReadOnlyList<Attitude> Attitudes { get; private set; } = [];

    /// <summary>Design rain, mm/h.</summary>
    public double? RainMmPerH { get; private set; }

    /// <summary>Reads the file; one that is absent or no JSON leaves everything unknown.</summary>
    public static PlanJson Read(PlanFolder folder)
    {
        PlanJson plan = new();
        if (folder.Find("plan.json") is not InputFile file) return plan;
        DecodedText decoded = DecodedText.From(file);
        if (decoded.Notice is not null) folder.Notices.Add(decoded.Notice);
        if (decoded.Problem is not null) folder.Problems.Add(decoded.Problem);
        else if (LocatedJson.Read(file.Name, decoded.Text, folder.Problems) is LocatedJson whole)
        {
            if (whole.Kind == System.Text.Json.JsonValueKind.Object) plan.Take(new(file.Name, whole, folder));
            else folder.Problems.Add(new(file.Name, whole.Line, "", whole.Text, "an object: {\"plan\": ..., \"aircraft_type\": ..., \"doors\": [...]}", "Put the plan's keys in curly brackets."));
        }
        return plan;
    }

    private void Take(PlanObject plan)
    {
        plan.Text("$schema");
        Name = plan.RequiredText("plan");
        Issue = plan.TextOrNumber("issue");
        AircraftType = plan.RequiredText("aircraft_type");
        Axes = TakeAxes(plan) ?? FitPlan.UsualAxes;
        Airflow = plan.UnitVector("airflow");
        ReferenceTemperatureC = plan.Number("reference_temperature_c", NumberRange.TemperatureC) ?? 20;
        DecisionRule = plan.Word("decision_rule", _rules) ?? DecisionRule.ProveConformity;
        TakeDoors(plan);
        TakeStages(plan);
        TakePaint(plan);
        TakeAttitudes(plan);
        RainMmPerH = plan.Number("rain_mm_per_h", NumberRange.Positive);
        plan.NoticeUnknownKeys();
    }

    // Written out as a text, or each axis apart.
    private static string? TakeAxes(PlanObject plan)
    {
        if (plan.ObjectIfAny("axes") is not PlanObject axes) return plan.Text("axes");
        string words = $"x {axes.RequiredText("x")}, y {axes.RequiredText("y")}, z {axes.RequiredText("z")}";
        axes.NoticeUnknownKeys();
        return words;
    }

    private void TakeDoors(PlanObject plan)
    {
        IReadOnlyList<PlanObject>? doors = RequiredList(plan, "doors", "door");
        if (doors is null) return;
        List<(Door, int)> read = [];
        Dictionary<string, int> seen = new(StringComparer.OrdinalIgnoreCase);
        bool allUsable = true;
        foreach (PlanObject door in doors)
        {
            string code = door.RequiredText("door");
            bool shaped = DoorCode().IsMatch(code), first = seen.TryAdd(code, door.Line);
            allUsable &= shaped && first;
            if (code.Length > 0 && !shaped)
                door.Refuse("door", "a door code of letters, digits, spaces and . _ - with a letter or digit at both ends", "Shorten it to a code such as P1; the title is for the full name. The code becomes part of file names.");
            else if (code.Length > 0 && !first)
                door.Refuse("door", "each door once, letter case aside", Invariant($"The door that starts on line {seen[code]} has this code; rename or delete one."));
            read.Add((new Door
            {
                Code = code,
                Title = door.Text("title") ?? code,
                Hand = door.Word("hand", _hands) ?? Hand.None,
                GapDefinition = DefinitionKeys.Gap(door),
                FlushDefinition = DefinitionKeys.Flush(door),
                ExpansionPerK = door.Number("expansion_per_k", NumberRange.ExpansionPerK),
                SurroundExpansionPerK = door.Number("surround_expansion_per_k", NumberRange.ExpansionPerK),
                SealLeverMm = door.Number("seal_lever_mm", NumberRange.Positive),
                HandleLeverMm = door.Number("handle_lever_mm", NumberRange.Positive),
                LeakLengthMm = door.Number("leak_length_mm", NumberRange.Positive),
                Stations = [],
                PerimeterMm = 0,
            }, door.Line));
            foreach ((string one, string other) in new[] { ("seal_lever_mm", "handle_lever_mm"), ("handle_lever_mm", "seal_lever_mm") })
            {
                if (door.Has(one) && !door.Has(other)) door.Refuse(other, $"this key, which {one} goes with", $"Give both lever arms from the hinge line in millimetres, or take {one} out.", "");
            }
            door.NoticeUnknownKeys();
        }
        Doors = read;
        if (allUsable) DoorCodes = [.. read.Select(d => d.Item1.Code)];
    }

    private void TakeStages(PlanObject plan)
    {
        IReadOnlyList<PlanObject>? stages = List(plan, "stages");
        if (stages is null) return;
        List<Stage> read = [];
        Names names = new("stage");
        foreach (PlanObject stage in stages)
        {
            read.Add(new(names.Take(stage), stage.Text("paint"), stage.TextOrFlag("seal", "fitted", "removed"), stage.TextOrFlag("latch", "latched", "free"), stage.Text("support")));
            stage.NoticeUnknownKeys();
        }
        Stages = read;
        if (names.AllUsable) StageNames = [.. read.Select(s => s.Name)];
    }

    private void TakePaint(PlanObject plan)
    {
        HashSet<string> states = [.. Stages.Select(s => s.Paint).OfType<string>()];
        List<PaintAllowance> read = [];
        Dictionary<(string, string), int> seen = [];
        foreach (PlanObject paint in List(plan, "paint") ?? [])
        {
            string from = paint.RequiredText("from"), to = paint.RequiredText("to");
            if (StageNames is not null)
            {
                foreach ((string key, string state) in new[] { ("from", from), ("to", to) })
                {
                    if (state.Length > 0 && !states.Contains(state))
                        paint.Refuse(key, "a paint state that occurs in the stages", NearestName.Remedy(state, states, states.Count == 0 ? "Give each stage its paint state." : ""));
                }
            }
            if (from.Length > 0 && from == to) paint.Refuse("to", "another paint state than from", "An allowance leads from one paint state to another; correct it or take it out.");
            else if (from.Length > 0 && to.Length > 0 && (seen.TryGetValue((from, to), out int line) || seen.TryGetValue((to, from), out line)))
                paint.Refuse("from", $"one allowance between '{from}' and '{to}'", Invariant($"The one on line {line} joins the same two states; an allowance serves both ways, so take one out."), $"{from} to {to}");
            else seen[(from, to)] = paint.Line;
            read.Add(new(from, to, paint.RequiredNumber("edge_build_mm", NumberRange.PaintMm), paint.RequiredNumber("face_build_mm", NumberRange.PaintMm)) { LandBuildMm = paint.Number("land_build_mm", NumberRange.PaintMm) });
            paint.NoticeUnknownKeys();
        }
        Paint = read;
    }

    private void TakeAttitudes(PlanObject plan)
    {
        List<Attitude> read = [];
        Names names = new("attitude");
        foreach (PlanObject attitude in List(plan, "attitudes") ?? [])
        {
            read.Add(new(names.Take(attitude), attitude.RequiredNumber("pitch_deg", NumberRange.AngleDeg), attitude.RequiredNumber("roll_deg", NumberRange.AngleDeg)));
            attitude.NoticeUnknownKeys();
        }
        Attitudes = read;
    }

    // A list that is not given is empty; one that is broken is null, so that nothing is checked against it.
    private static IReadOnlyList<PlanObject>? List(PlanObject plan, string key) => plan.Has(key) ? plan.Objects(key) : [];

    private static IReadOnlyList<PlanObject>? RequiredList(PlanObject plan, string key, string what)
    {
        if (!plan.Has(key)) plan.Refuse(key, $"a list with at least one {what}", $"Add \"{key}\"; it must be there.");
        else if (plan.Objects(key) is IReadOnlyList<PlanObject> items)
        {
            if (items.Count > 0) return items;
            plan.Refuse(key, $"a list with at least one {what}", $"Add a {what}.", "an empty list");
        }
        return null;
    }

    [GeneratedRegex(@"^[\p{L}\p{N}]([\p{L}\p{N} ._-]*[\p{L}\p{N}])?\z")]
    private static partial Regex DoorCode();

    // The names of a list of objects: each there, each once.
    private sealed class Names(string key)
    {
        private readonly Dictionary<string, int> _seen = [];

        public bool AllUsable { get; private set; } = true;

        public string Take(PlanObject item)
        {
            string name = item.RequiredText(key);
            bool first = _seen.TryAdd(name, item.Line);
            AllUsable &= first && name.Length > 0;
            if (!first && name.Length > 0) item.Refuse(key, $"each {key} once", Invariant($"The {key} that starts on line {_seen[name]} has this name; rename or delete one."));
            return name;
        }
    }
}
