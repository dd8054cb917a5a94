using System.Globalization;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Plan.Files;

namespace GapFlush.Readings;

/// <summary>Reads one row of a readings file and reports all that is wrong with it.</summary>
internal sealed class RowReader(FitPlan plan, string source, DelimitedRow row, bool decimalComma, List<InputProblem> problems)
{
    // Factor to mm of every unit of length; % suits only characteristics counted in %, and none of those is read by a gauge today.
    private static readonly Dictionary<string, double> Lengths = new() { ["mm"] = 1, ["in"] = 25.4, ["um"] = 0.001 };

    // Hotter than any oven a composite part has been in; an odd temperature below it is a doubt, not a refusal.
    private const double HottestC = 1000;

    private static readonly string[] TimeForms =
        ["yyyy-MM-dd", "yyyy-MM-ddTHH:mm", "yyyy-MM-ddTHH:mm:ss", "yyyy-MM-ddTHH:mm:ss.FFFFFFF", "yyyy-MM-ddTHH:mmK", "yyyy-MM-ddTHH:mm:ssK", "yyyy-MM-ddTHH:mm:ss.FFFFFFFK", "yyyyMMdd", "yyyyMMddTHHmm", "yyyyMMddTHHmmss", "yyyyMMddTHHmmssK"];

    /// <summary>The reading, or null where the row has a problem.</summary>
    public Reading? Read()
    {
        int before = problems.Count;
        string? build = row.RequiredText("build", problems);
        Door? door = DoorOf();
        Station? station = StationOf(door);
        Characteristic? characteristic = CharacteristicOf();
        (string unit, double factor) = UnitOf(characteristic);
        double? value = ValueOf();
        if (value is double read && !NumberRange.Read.Holds(read * factor)) Refuse("value", NumberRange.Read.Expected, NumberRange.Read.Remedy);
        double? uncertainty = row.Number("uncertainty", problems);
        if (uncertainty is double u && !NumberRange.UncertaintyMm.Holds(u * factor)) Refuse("uncertainty", NumberRange.UncertaintyMm.Expected, NumberRange.UncertaintyMm.Remedy);
        double? temperature = row.Number("temperature_c", problems);
        if (temperature is < -273.15) Refuse("temperature_c", "a temperature in °C", "It is below absolute zero; write the temperature of the parts in °C.");
        else if (temperature is > HottestC) Refuse("temperature_c", "a temperature in °C", "No aircraft is measured that hot; write the temperature of the parts in °C.");
        int? repeat = row.WholeNumber("repeat", problems);
        if (repeat is < 0) Refuse("repeat", "the number of the repeat", "Count repeats from 1.");
        string? gauge = GaugeOf(), stage = StageOf(), definition = DefinitionOf(characteristic);
        DateTimeOffset? takenAt = TakenAtOf();
        if (problems.Count > before || build is null || door is null || station is null || characteristic is null || value is null) return null;
        return new()
        {
            Build = build,
            Door = door.Code,
            Station = station.Name,
            Characteristic = characteristic,
            Value = value.Value * factor,
            WrittenValue = row["value"],
            WrittenUnit = unit,
            WrittenDecimals = Decimals(row["value"], decimalComma ? ',' : '.'),
            Gauge = gauge,
            Inspector = row.Text("inspector"),
            TakenAt = takenAt,
            Repeat = repeat,
            TemperatureC = temperature,
            Stage = stage,
            Definition = definition,
            ExpandedUncertainty = uncertainty * factor,
            PlanIssue = row.Text("plan_issue"),
            Note = row.Text("note"),
            Source = source,
            Line = row.Line,
        };
    }

    /// <summary>Decimals that were written: 2 for 3.60, 1 for 36e-1.</summary>
    internal static int Decimals(string written, char mark)
    {
        int exponentAt = written.IndexOfAny(['e', 'E']);
        string digits = exponentAt < 0 ? written : written[..exponentAt];
        int exponent = exponentAt >= 0 && int.TryParse(written.AsSpan(exponentAt + 1), NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out int e) ? Math.Clamp(e, -99, 99) : 0;
        int markAt = digits.IndexOf(mark, StringComparison.Ordinal);
        return Math.Max(0, (markAt < 0 ? 0 : digits.Length - markAt - 1) - exponent);
    }

    private void Refuse(string column, string expected, string remedy) => problems.Add(row.Problem(column, expected, remedy));

    private Door? DoorOf()
    {
        if (row.RequiredText("door", problems) is not string code) return null;
        Door? door = plan.FindDoor(code);
        if (door is null) Refuse("door", "a door of the plan", NearestName.Remedy(code, [.. plan.Doors.Select(d => d.Code)]));
        return door;
    }

    private Station? StationOf(Door? door)
    {
        if (row.RequiredText("station", problems) is not string name || door is null) return null;
        Station? station = door.Find(name);
        if (station is not null) return station;
        // 07 that lost its zero in a spreadsheet is the usual case.
        string[] names = [.. door.Stations.Select(s => s.Name)];
        string? padded = names.FirstOrDefault(n => n.TrimStart('0') == name.TrimStart('0'));
        Refuse("station", $"a station of door {door.Code}", padded is not null ? $"Did you mean '{padded}'?" : NearestName.Remedy(name, names));
        return null;
    }

    private Characteristic? CharacteristicOf()
    {
        if (row.RequiredText("characteristic", problems) is not string code) return null;
        string[] read = [.. Characteristic.All.Where(c => c.IsRead).Select(c => c.Code)];
        if (Characteristic.Find(code) is not Characteristic characteristic)
        {
            Refuse("characteristic", $"a characteristic that is read ({string.Join(", ", read)})", NearestName.Remedy(code, [.. Characteristic.All.Select(c => c.Code)]));
            return null;
        }
        if (characteristic.IsRead) return characteristic;
        Refuse("characteristic", $"a characteristic that is read ({string.Join(", ", read)})", WhereFrom(characteristic));
        return null;
    }

    private static string WhereFrom(Characteristic derived) => derived.Code switch
    {
        "step_forward" or "step_aft" => "A step is worked out from flush and the airflow; log the flush.",
        "gap_range" or "gap_taper" => "It is worked out from the gaps of a zone; log the gap of each station.",
        "twist" => "Twist is worked out from the flush at the corners; log the flush.",
        "compression" or "closing_load" or "handle_force" => "It is worked out from land_gap and the seal; log the land_gap.",
        _ => "It is worked out from the levels of a channel; give those in a file of channel levels.",
    };

    private (string Unit, double Factor) UnitOf(Characteristic? characteristic)
    {
        if (row.Text("unit") is not string written) return (characteristic?.Unit ?? "mm", 1);
        string unit = written.ToLowerInvariant() is "µm" or "μm" ? "um" : written.ToLowerInvariant();
        if (unit != "%" && !Lengths.ContainsKey(unit)) Refuse("unit", "mm, in, um or %", "Write one of these, or leave the unit blank for mm.");
        else if (characteristic is { IsRead: true, Unit: "mm" } && unit == "%") Refuse("unit", $"a unit of length for {characteristic.Code}: mm, in or um", "Write the length that was read.");
        return (unit, Lengths.GetValueOrDefault(unit, 1));
    }

    private double? ValueOf()
    {
        if (row.Text("value") is not string text)
        {
            Refuse("value", "a number", "Write what was read; delete the row of a station that was not read.");
            return null;
        }
        string digits = text.TrimEnd('m', 'u', 'µ', 'μ', 'i', 'n', 'c', 'h', '%', '"', ' ');
        if (digits.Length is > 0 && digits.Length < text.Length && NumberText.IsShape(digits, decimalComma ? ',' : '.'))
        {
            string unit = text[digits.Length..].Trim() is var u && u is "inch" or "\"" ? "in" : u;
            Refuse("value", "a number", $"Write {digits} here and {unit} in column unit.");
            return null;
        }
        return row.Number("value", problems);
    }

    private string? GaugeOf()
    {
        string? name = row.Text("gauge");
        if (name is not null && plan.Gauges.Count > 0 && plan.FindGauge(name) is null)
            Refuse("gauge", "a gauge of gauges.csv", NearestName.Remedy(name, [.. plan.Gauges.Select(g => g.Name)], "A new gauge is added there."));
        return name;
    }

    private string? StageOf()
    {
        if (row.Text("stage") is not string name) return plan.Stages.Count == 1 ? plan.Stages[0].Name : null;
        if (plan.FindStage(name) is null)
        {
            Refuse("stage", "a stage of the plan", plan.Stages.Count == 0 ? "The plan has no stages; leave the column blank, or add the stage to plan.json." : NearestName.Remedy(name, [.. plan.Stages.Select(s => s.Name)]));
        }
        return name;
    }

    private string? DefinitionOf(Characteristic? characteristic)
    {
        if (row.Text("definition") is not string written || characteristic is not { IsRead: true }) return null;
        string[] codes = characteristic == Characteristic.Gap ? [.. GapDefinition.Codes.Keys] : characteristic == Characteristic.Flush ? [.. FlushDefinition.Codes.Keys] : [];
        string code = written.ToLowerInvariant();
        if (codes.Length == 0) Refuse("definition", $"no definition for {characteristic.Code}", "Leave it blank; only gap and flush have definitions.");
        else if (!codes.Contains(code)) Refuse("definition", $"a {characteristic.Code} definition", NearestName.Remedy(code, codes));
        return code;
    }

    private DateTimeOffset? TakenAtOf()
    {
        if (row.Text("taken_at") is not string text) return null;
        // RFC 3339 lets people write a space for the T.
        string form = text.Length > 10 && text[10] == ' ' ? string.Concat(text.AsSpan(0, 10), "T", text.AsSpan(11)) : text;
        if (DateTimeOffset.TryParseExact(form, TimeForms, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset time)) return time;
        Refuse("taken_at", "a day or a time as ISO 8601 writes it", "Write it like 2026-03-04 or 2026-03-04T10:15, with year, month, day in this order.");
        return null;
    }
}
