using System.Globalization;
using System.Text;
using System.Text.Json;
using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Demo;

/// <summary>Writes a fit plan as the files of a fit plan folder.</summary>
internal static class PlanText
{
    /// <summary>The files of the plan: path within the folder, and text.</summary>
    public static IReadOnlyList<(string Path, string Text)> Files(FitPlan plan) =>
    [
        ("plan.json", Json(plan)),
        ("stations.csv", Csv("door,station,zone,x,y,z,nx,ny,nz,tx,ty,tz",
            plan.Doors.SelectMany(d => d.Stations.Select(s => (object?[])[d.Code, s.Name, s.Zone, .. Of(s.Position), .. Of(s.Normal), .. Of(s.Tangent)])))),
        ("limits.csv", Csv("door,zone,station,characteristic,stage,nominal,lower,upper",
            plan.Limits.Rows.Select(r => (object?[])[r.Door, r.Zone, r.Station, r.Characteristic.Code, r.Stage, r.Nominal, r.Limits.Lower, r.Limits.Upper]))),
        ("seals.csv", Csv("door,zone,seal,free_height,set_percent,joint,land_uncertainty",
            plan.Seals.Select(s => (object?[])[s.Door, s.Zone, s.Name, s.FreeHeightMm, s.SetPercent, s.Joint == SealJoint.Lap ? "lap" : "butt", s.LandUncertaintyMm]))),
        ("seal-curves.csv", Csv("seal,compression_percent,load_n_per_m", plan.SealCurves.Select(c => (object?[])[c.Seal, c.CompressionPercent, c.LoadNPerM]))),
        ("channels.csv", Csv("channel,door,point,x,y,z,shape,width,depth,side_slope,roughness,outlet,outlet_diameter,catchment_m2,min_slope_percent",
            plan.Channels.SelectMany(c => c.Points.Select(p => (object?[])
                [c.Name, c.Door, p.Name, .. Of(p.Position), Shape(p.Shape), p.WidthMm, p.DepthMm, p.SideSlope, p.Roughness, Outlet(p.Outlet), p.OutletDiameterMm, p.CatchmentM2, p.MinSlopePercent])))),
        ("adjusters.csv", Csv("door,adjuster,x,y,z,dx,dy,dz,minimum,maximum,step",
            plan.Adjusters.Select(a => (object?[])[a.Door, a.Name, .. Of(a.Position), .. Of(a.Direction), a.MinimumMm, a.MaximumMm, a.StepMm]))),
        ("datums.csv", Csv("datum,x,y,z,sigma", plan.Datums.Select(d => (object?[])[d.Name, .. Of(d.Position), d.SigmaMm]))),
        ("skin.csv", Csv("x,y,z,nx,ny,nz,part", plan.Skin.Select(s => (object?[])[.. Of(s.Position), .. Of(s.Normal), s.Door ?? "surround"]))),
        ("gauges.csv", Csv("gauge,kind,resolution,uncertainty,coverage_factor,calibration_due",
            plan.Gauges.Select(g => (object?[])[g.Name, g.Kind, g.ResolutionMm, g.UncertaintyMm, g.CoverageFactor, g.CalibrationDue]))),
        ("builds.csv", Csv("build,sequence,door,door_mould,surround_mould,door_pull,completed_on",
            plan.Builds.Select(b => (object?[])[b.Build, b.Sequence, b.Door, b.DoorMould, b.SurroundMould, b.DoorPull, b.CompletedOn]))),
    ];

    /// <summary>Comma-separated text with a header; nulls are blank, lines end in LF.</summary>
    internal static string Csv(string header, IEnumerable<object?[]> rows)
    {
        StringBuilder text = new(header + "\n");
        foreach (object?[] row in rows) text.AppendJoin(',', row.Select(Cell)).Append('\n');
        return text.ToString();
    }

    private static string Cell(object? value)
    {
        string cell = value switch
        {
            null => "",
            DateOnly day => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
            IFormattable number => number.ToString(null, CultureInfo.InvariantCulture),
            _ => value.ToString() ?? "",
        };
        return cell.AsSpan().IndexOfAny(",\"\r\n") >= 0 ? "\"" + cell.Replace("\"", "\"\"", StringComparison.Ordinal) + "\"" : cell;
    }

    private static IEnumerable<object?> Of(Point3 p) => [p.X, p.Y, p.Z];

    private static IEnumerable<object?> Of(Vector3 v) => [v.X, v.Y, v.Z];

    private static string Shape(ChannelShape shape) => shape switch
    {
        ChannelShape.Rectangular => "rectangular",
        ChannelShape.Trapezoidal => "trapezoidal",
        ChannelShape.Triangular => "triangular",
        _ => "half-round",
    };

    private static string Outlet(ChannelOutlet outlet) => outlet switch { ChannelOutlet.OpenEnd => "open-end", ChannelOutlet.Hole => "hole", _ => "" };

    private static string Json(FitPlan plan)
    {
        using MemoryStream bytes = new();
        using (Utf8JsonWriter json = new(bytes, JsonForm.Indented))
        {
            json.WriteStartObject();
            json.WriteString("plan", plan.Name);
            if (plan.Issue is not null) json.WriteString("issue", plan.Issue);
            json.WriteString("aircraft_type", plan.AircraftType);
            json.WriteString("axes", plan.Axes);
            if (plan.Airflow is Vector3 air) Numbers(json, "airflow", air.X, air.Y, air.Z);
            json.WriteNumber("reference_temperature_c", plan.ReferenceTemperatureC);
            json.WriteString("decision_rule", plan.DecisionRule == DecisionRule.ProveConformity ? "prove-conformity" : "simple-acceptance");
            if (plan.RainMmPerH is double rain) json.WriteNumber("rain_mm_per_h", rain);
            Each(json, "doors", plan.Doors, d =>
            {
                json.WriteString("door", d.Code);
                json.WriteString("title", d.Title);
                json.WriteString("hand", d.Hand switch { Hand.Left => "left", Hand.Right => "right", _ => "none" });
                json.WriteString("gap_definition", d.GapDefinition.Code);
                if (d.GapDefinition.DepthMm is double depth) json.WriteNumber("edge_depth_mm", depth);
                json.WriteString("flush_definition", d.FlushDefinition.Code);
                if (d.ExpansionPerK is double door) json.WriteNumber("expansion_per_k", door);
                if (d.SurroundExpansionPerK is double surround) json.WriteNumber("surround_expansion_per_k", surround);
                if (d.SealLeverMm is double seal) json.WriteNumber("seal_lever_mm", seal);
                if (d.HandleLeverMm is double handle) json.WriteNumber("handle_lever_mm", handle);
                if (d.LeakLengthMm is double leak) json.WriteNumber("leak_length_mm", leak);
            });
            Each(json, "stages", plan.Stages, s =>
            {
                json.WriteString("stage", s.Name);
                json.WriteString("paint", s.Paint);
                json.WriteString("seal", s.Seal);
                json.WriteString("latch", s.Latch);
                json.WriteString("support", s.Support);
            });
            Each(json, "paint", plan.Paint, p =>
            {
                json.WriteString("from", p.From);
                json.WriteString("to", p.To);
                json.WriteNumber("edge_build_mm", p.EdgeBuildMm);
                json.WriteNumber("face_build_mm", p.FaceBuildMm);
            });
            Each(json, "attitudes", plan.Attitudes, a =>
            {
                json.WriteString("attitude", a.Name);
                json.WriteNumber("pitch_deg", a.PitchDeg);
                json.WriteNumber("roll_deg", a.RollDeg);
            });
            json.WriteEndObject();
        }
        return Encoding.UTF8.GetString(bytes.ToArray()) + "\n";
    }

    private static void Numbers(Utf8JsonWriter json, string name, params double[] values)
    {
        json.WriteStartArray(name);
        foreach (double value in values) json.WriteNumberValue(value);
        json.WriteEndArray();
    }

    private static void Each<T>(Utf8JsonWriter json, string name, IEnumerable<T> items, Action<T> write)
    {
        json.WriteStartArray(name);
        foreach (T item in items)
        {
            json.WriteStartObject();
            write(item);
            json.WriteEndObject();
        }
        json.WriteEndArray();
    }
}
