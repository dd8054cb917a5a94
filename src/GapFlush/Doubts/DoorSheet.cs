using GapFlush.Hanging;
using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>The readings of one door at one stage, with what the plan says about each.</summary>
internal sealed class DoorSheet
{
    private readonly Dictionary<Characteristic, SheetPoint[]> _points;
    private readonly HashSet<SheetPoint> _aside = new(ReferenceEqualityComparer.Instance);
    private readonly SeamFit?[] _fits = new SeamFit?[2];
    private readonly bool[] _fitted = new bool[2];

    public DoorSheet(FitPlan plan, Door door, string? stage, IEnumerable<Reading> readings)
    {
        (Plan, Door, Stage, Order) = (plan, door, stage, [.. door.Stations.Select(s => s.Name)]);
        _points = readings.GroupBy(r => r.Characteristic).ToDictionary(g => g.Key, g => g.Select(PointOf).OrderBy(p => p.Station.Index).ToArray());
        foreach (SheetPoint p in _points.Values.SelectMany(p => p))
        {
            if (p.Reading.Definition is string d && d != door.DefinitionOf(p.Characteristic)) _aside.Add(p);
        }
    }

    public FitPlan Plan { get; }

    public Door Door { get; }

    public string? Stage { get; }

    /// <summary>The names of the door's stations in order.</summary>
    public IReadOnlyList<string> Order { get; }

    /// <summary>All readings of a characteristic, in station order.</summary>
    public IReadOnlyList<SheetPoint> All(Characteristic characteristic) => _points.GetValueOrDefault(characteristic, []);

    /// <summary>Every reading, characteristic by characteristic.</summary>
    public IEnumerable<SheetPoint> Everything => Characteristic.All.SelectMany(All);

    /// <summary>The readings of a characteristic that no earlier check has found fault with, and that have a target.</summary>
    public IReadOnlyList<SheetPoint> Sound(Characteristic characteristic) => [.. All(characteristic).Where(p => p.Target is not null && !_aside.Contains(p))];

    /// <summary>Gap and flush readings that a displacement of the door can be fitted to.</summary>
    public IReadOnlyList<SheetPoint> Seam => [.. Sound(Characteristic.Gap), .. Sound(Characteristic.Flush)];

    /// <summary>True once the whole sheet was found to belong elsewhere; finer checks then say nothing.</summary>
    public bool IsDisowned { get; set; }

    /// <summary>Leaves readings out of later comparisons; they stay in the data.</summary>
    public void SetAside(IReadOnlyCollection<SheetPoint> points)
    {
        if (points.Count == 0) return;
        _aside.UnionWith(points);
        Array.Clear(_fitted);
    }

    /// <summary>The fit of the door to its sound readings, without or with constants; null where there are too few.</summary>
    public SeamFit? Fit(bool constants)
    {
        int which = constants ? 1 : 0;
        if (!_fitted[which]) (_fits[which], _fitted[which]) = (SeamFit.Of(Door, Seam, constants), true);
        return _fits[which];
    }

    private SheetPoint PointOf(Reading reading)
    {
        Station station = Door.Find(reading.Station)!;
        LimitRow? row = Plan.Limits.For(reading.Characteristic, Door.Code, station.Zone, station.Name, Stage);
        Gauge? gauge = reading.Gauge is null ? null : Plan.FindGauge(reading.Gauge);
        return new(reading, station, DisplacementFits.Target(row), row?.Limits.Width, UncertaintyOf(reading, gauge), Thermal(reading, station));
    }

    /// <summary>Certificate or row, and resolution as a rectangle, as the GUM combines them.</summary>
    private static double? UncertaintyOf(Reading reading, Gauge? gauge)
    {
        double? certificate = reading.ExpandedUncertainty / 2 ?? gauge?.UncertaintyMm / gauge?.CoverageFactor;
        return certificate is double u ? Math.Sqrt(u * u + Math.Pow(gauge?.ResolutionMm ?? 0, 2) / 12) : null;
    }

    /// <summary>Opening and door grow apart from the door's centre: the gap opens by the difference of expansion times the distance from it, along -u.</summary>
    private double Thermal(Reading reading, Station station) =>
        reading.Characteristic == Characteristic.Gap && reading.TemperatureC is double t && Door.ExpansionPerK is double d && Door.SurroundExpansionPerK is double s
            ? (s - d) * (t - Plan.ReferenceTemperatureC) * -station.IntoDoor.Dot(station.Position - Door.Centre)
            : 0;
}
