using GapFlush.Decisions;
using GapFlush.Geometry;
using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Adjustment;

/// <summary>Turns a judged door into a <see cref="FitProblem"/>: every judged value that follows the moves, in mm of door movement at the seam.</summary>
/// <remarks>METHOD.md, eq. 5 to 7. Gap, flush, steps, land gap and compression of a station hang on one of its directions; gap range and taper on the gaps of a zone. Twist and closing load are judged
/// before and after, but do not steer: no hinge move removes a twist, and a load is the sum of compressions that are limited themselves.</remarks>
internal sealed class AskedOfDoor
{
    private readonly FitPlan _plan;
    private readonly DoorResult _result;
    private readonly DoorHolding _holding;
    private readonly SmallDisplacement[] _unit;
    private readonly List<FitProblem.Quantity> _quantities = [];
    private readonly List<FitProblem.Asked> _asked = [];
    private readonly List<ResultRow> _rows = [];
    private readonly List<IReadOnlyList<(Measurement, double)>> _sources = [];
    private readonly Dictionary<(string, bool), int> _gapOrFlush = [];
    private readonly Dictionary<(string, Characteristic), Measurement> _values = [];
    private readonly HashSet<(string, Characteristic)> _shape;

    private AskedOfDoor(FitPlan plan, DoorResult result, DoorHolding holding)
    {
        (_plan, _result, _holding) = (plan, result, holding);
        int k = holding.Adjusters.Count;
        _unit = [.. Enumerable.Range(0, k).Select(j =>
        {
            double[] one = new double[k];
            one[j] = 1;
            return holding.Displacement(one);
        })];
        foreach (ResultRow row in result.Rows)
            if (row.Measurement is { Station: string station, Value: not null } m) _values.TryAdd((station, m.Characteristic), m);
        _shape = [.. result.Displacement.SetAside.Select(r => (r.Deviation.Station, r.Deviation.Characteristic))];
    }

    /// <summary>The problem, without places for the adjusters yet.</summary>
    public required FitProblem Problem { get; init; }

    /// <summary>The row behind each asked value.</summary>
    public required IReadOnlyList<ResultRow> Rows { get; init; }

    /// <summary>The readings behind each asked value and how much of each is in it; for a range, the gaps in the order of its quantities.</summary>
    public required IReadOnlyList<IReadOnlyList<(Measurement Measurement, double Factor)>> Sources { get; init; }

    /// <summary>For each asked value, whether it rests on a reading that the robust fit sets aside: local shape.</summary>
    public required IReadOnlyList<bool> IsLocalShape { get; init; }

    /// <summary>Judged rows with limits that do not steer.</summary>
    public required IReadOnlyList<ResultRow> OnlyReported { get; init; }

    /// <summary>Gathers what is asked of a door.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="result">The door, judged.</param>
    /// <param name="holding">How it is held.</param>
    /// <param name="places">Where each adjuster may stand.</param>
    /// <param name="bendAllowanceMm">How much moves may contradict one another at an adjuster.</param>
    public static AskedOfDoor Of(FitPlan plan, DoorResult result, DoorHolding holding, IReadOnlyList<FitProblem.Position> places, double bendAllowanceMm)
    {
        AskedOfDoor gathering = new(plan, result, holding) { Problem = null!, Rows = [], Sources = [], IsLocalShape = [], OnlyReported = [] };
        List<ResultRow> onlyReported = [];
        foreach (ResultRow row in result.Rows)
        {
            if (row.Limits is null || row.Measurement.Value is null) continue;
            if (!gathering.TryAdd(row)) onlyReported.Add(row);
        }
        double[][] bending = holding.Surplus == 0 ? [] : [.. Enumerable.Range(0, holding.Adjusters.Count).Select(holding.MisfitRow).Where(r => r.Any(v => v != 0))];
        return new(plan, result, holding)
        {
            Problem = new(gathering._quantities, gathering._asked, places, bending, bendAllowanceMm),
            Rows = gathering._rows,
            Sources = gathering._sources,
            IsLocalShape = [.. gathering._sources.Select(s => s.Any(m => gathering.IsShape(m.Item1)))],
            OnlyReported = onlyReported,
        };
    }

    // A step, land gap or compression of a place where the flush is set aside is the same bulge.
    private bool IsShape(Measurement m) => m.Station is string station && (_shape.Contains((station, m.Characteristic))
        || (m.Characteristic != Characteristic.Gap && _shape.Contains((station, Characteristic.Flush))));

    private bool TryAdd(ResultRow row)
    {
        Measurement m = row.Measurement;
        double? guard = _plan.DecisionRule == DecisionRule.SimpleAcceptance ? 0 : m.ExpandedUncertainty ?? Conformity.GaugeShare * (row.Limits!.Width ?? 0);
        Characteristic c = m.Characteristic;
        if (m.Station is string name && _result.Door.Find(name) is Station station)
        {
            if (c == Characteristic.Gap) return Add(row, station, true, m.Value!.Value, 1, guard!.Value, (m, 1));
            bool landIsGap = SeamChange.OpensWithGap(_plan, _result.Door, station);
            if (c == Characteristic.Flush || c == Characteristic.LandGap) return Add(row, station, c == Characteristic.LandGap && landIsGap, m.Value!.Value, 1, guard!.Value, (m, 1));
            if (c == Characteristic.Compression && FreeHeight(station) is double height) return Add(row, station, landIsGap, -m.Value!.Value * height / 100, -height / 100, guard!.Value * height / 100, Read(name, Characteristic.LandGap) is Measurement read ? (read, 1) : (m, -height / 100));
            if (c == Characteristic.StepForward || c == Characteristic.StepAft) return AddStep(row, station, guard!.Value);
        }
        if (m.Station is null && m.Zone is string zone && (c == Characteristic.GapRange || c == Characteristic.GapTaper)) return AddZone(row, zone, guard!.Value);
        return false;
    }

    private Measurement? Read(string station, Characteristic characteristic) => _values.GetValueOrDefault((station, characteristic));

    private double? FreeHeight(Station station) => _plan.SealOf(_result.Door.Code, station.Zone)?.FreeHeightMm;

    // value = given + movement along the direction; limits in the row's unit times the scale are mm of movement.
    private bool Add(ResultRow row, Station station, bool isGap, double value, double scale, double guard, (Measurement, double) source)
    {
        (double low, double high) = (row.Limits!.Lower is double l ? l * scale : double.NegativeInfinity, row.Limits.Upper is double u ? u * scale : double.PositiveInfinity);
        if (scale < 0) (low, high) = (row.Limits.Upper is double u2 ? u2 * scale : double.NegativeInfinity, row.Limits.Lower is double l2 ? l2 * scale : double.PositiveInfinity);
        int q = QuantityOf(station, isGap);
        double shift = _quantities[q].Base - value;
        _asked.Add(new(q, null, low + shift, high + shift, guard));
        Remember(row, [source]);
        return true;
    }

    private bool AddStep(ResultRow row, Station station, double guard)
    {
        if (_plan.Airflow is not Vector3 airflow || StepsFromFlush.At(station, airflow, 1) is not StepsFromFlush one || Read(station.Name, Characteristic.Flush) is not { Value: double flush } m) return false;
        if (one.Factor < 1e-3) return false;   // an edge along the flow makes no step, wherever the door stands
        bool proudFaces = one.ForwardMm > 0, rises = proudFaces == (row.Measurement.Characteristic == Characteristic.StepForward);
        int q = QuantityOf(station, isGap: false);
        double shift = _quantities[q].Base - flush, most = (row.Limits!.Upper ?? double.PositiveInfinity) / one.Factor, least = row.Limits.Lower is > 0 and double low ? low / one.Factor : double.NegativeInfinity;
        _asked.Add(rises ? new(q, null, least + shift, most + shift, guard / one.Factor) : new(q, null, -most + shift, -least + shift, guard / one.Factor));
        Remember(row, [(m, 1)]);
        return true;
    }

    private bool AddZone(ResultRow row, string zone, double guard)
    {
        Station[] stations = [.. _result.Door.Stations.Where(s => s.Zone == zone)];
        Measurement[] gaps = [.. stations.Select(s => Read(s.Name, Characteristic.Gap)).OfType<Measurement>()];
        if (gaps.Length != stations.Length) return false;
        if (row.Measurement.Characteristic == Characteristic.GapRange)
        {
            if (row.Limits!.Upper is not double most) return false;
            _asked.Add(new(-1, [.. stations.Select(s => QuantityOf(s, isGap: true))], double.NegativeInfinity, most, guard));
            Remember(row, [.. gaps.Select(g => (g, 1.0))]);
            return true;
        }
        double[] share = TaperShares(zone, stations, gaps);
        double length = LengthM(stations);
        double[] effect = [.. _unit.Select(x => length * stations.Select((s, i) => share[i] * s.IntoDoor.Dot(x.At(s.Position))).Sum())];
        _quantities.Add(new(row.Measurement.Value!.Value * length, effect));
        _asked.Add(new(_quantities.Count - 1, null, length * row.Limits!.Lower ?? double.NegativeInfinity, length * row.Limits.Upper ?? double.PositiveInfinity, guard * length));
        Remember(row, [.. gaps.Select((g, i) => (g, share[i] * length))]);
        return true;
    }

    // Taper is linear in the gaps of its zone: its share of each is what it changes by for 1 mm there.
    private double[] TaperShares(string zone, Station[] stations, Measurement[] gaps)
    {
        double? Taper(int raised) => GapOverZone.Of(_result.Door, zone, gaps.Select((g, i) => i == raised ? g with { Value = g.Value + 1 } : g).ToDictionary(g => g.Station!), _result.Build, _result.Stage)[1].Value;
        double before = Taper(-1) ?? 0;
        return [.. stations.Select((_, i) => (Taper(i) ?? 0) - before)];
    }

    /// <summary>Length of a zone along the seam, m: the way round less the widest stretch without a station of it.</summary>
    internal double LengthM(IReadOnlyList<Station> stations)
    {
        double perimeter = _result.Door.PerimeterMm, widest = 0;
        for (int i = 0; i < stations.Count; i++)
        {
            double next = stations[(i + 1) % stations.Count].AlongMm - stations[i].AlongMm;
            widest = Math.Max(widest, next <= 0 ? next + perimeter : next);
        }
        return Math.Max(1e-3, (perimeter - widest) / 1000);
    }

    private int QuantityOf(Station station, bool isGap)
    {
        if (_gapOrFlush.TryGetValue((station.Name, isGap), out int q)) return q;
        Vector3 direction = isGap ? station.IntoDoor : station.Normal;
        double value = Read(station.Name, isGap ? Characteristic.Gap : Characteristic.Flush)?.Value ?? 0;
        _quantities.Add(new(value, [.. _unit.Select(x => direction.Dot(x.At(station.Position)))]));
        return _gapOrFlush[(station.Name, isGap)] = _quantities.Count - 1;
    }

    private void Remember(ResultRow row, IReadOnlyList<(Measurement, double)> sources)
    {
        _rows.Add(row);
        _sources.Add(sources);
    }
}
