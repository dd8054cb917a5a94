using GapFlush.Decisions;
using GapFlush.Measurements;
using GapFlush.Plan;
using GapFlush.Seals;

namespace GapFlush.Workflows;

/// <summary>The values of one door of one build at a time, brought to plan conditions and derived from, without the uncertainties that a study of values alone has no use for.</summary>
/// <remarks>
/// <para>The same formulas as <see cref="PlanConditions"/> and <see cref="ManyBuilds"/> use, in the same order, so that the values are the same to the last bit.</para>
/// <para>What is out of the usual (a reading that is refused, a land gap to be predicted) is left to them: the caller is told and measures the build in full.</para>
/// </remarks>
/// <param name="door">The door.</param>
/// <param name="isBlank">True where the readings name no stage.</param>
internal sealed class DoorValues(StudiedDoor door, bool isBlank)
{
    private const int Gap = 0, Flush = 1, LandGap = 2;

    private readonly Dictionary<ReadingPlace, int> _cells = new(ReferenceEqualityComparer.Instance);
    private readonly int[] _count = new int[door.Effects.Length];
    private readonly double[] _sum = new double[door.Effects.Length], _paint = new double[door.Effects.Length], _warmth = new double[door.Effects.Length];
    private readonly GapUncertainties? _gaps = door.Wants(Characteristic.GapTaper) ? new(door) : null;
    private readonly bool _wantsSteps = door.Plan.Airflow is not null && (door.Wants(Characteristic.StepForward) || door.Wants(Characteristic.StepAft));
    private readonly bool _wantsLoads = door.Wants(Characteristic.ClosingLoad) || door.Wants(Characteristic.HandleForce);

    /// <summary>The door.</summary>
    public StudiedDoor Door => door;

    /// <summary>True where the readings name no stage.</summary>
    public bool IsBlank => isBlank;

    /// <summary>True where nothing was taken since the last clearing.</summary>
    public bool IsEmpty { get; private set; } = true;

    /// <summary>Forgets what was taken.</summary>
    public void Clear()
    {
        if (IsEmpty) return;
        IsEmpty = true;
        Array.Clear(_count);
        Array.Clear(_sum);
        Array.Clear(_paint);
        Array.Clear(_warmth);
        _gaps?.Clear();
    }

    /// <summary>Takes a reading of this door; false where it is out of the usual.</summary>
    public bool Take(in BareReading reading)
    {
        IsEmpty = false;
        if (!_cells.TryGetValue(reading.Place, out int cell)) _cells[reading.Place] = cell = CellOf(reading.Place);
        if (cell < 0) return false;
        (int station, int kind) = Math.DivRem(cell, StudiedDoor.Kinds.Length);
        StageChange change = door.Change(reading.Terms.Stage, kind);
        if (change.Refused is not null) return false;
        _count[cell]++;
        _sum[cell] += reading.Value;
        if (change.PaintMm is double paint) _paint[cell] += paint;
        if (reading.Terms.TemperatureC is double temperature && door.Effects[cell] is TemperatureEffect effect) _warmth[cell] += effect.CorrectionMm(temperature - door.Plan.ReferenceTemperatureC);
        _gaps?.Take(reading, kind == Gap ? station : -1);
        return true;
    }

    /// <summary>The values by column, those that there are not as not a number; null where something is out of the usual.</summary>
    public double[]? Values()
    {
        double[] values = new double[door.Columns.Count];
        Array.Fill(values, double.NaN);
        for (int station = 0; station < door.Seals.Length; station++)
        {
            for (int kind = 0; kind < StudiedDoor.Kinds.Length; kind++)
            {
                int cell = Cell(station, kind), n = _count[cell];
                if (n > 0) values[StudiedDoor.StationColumn(station, StudiedDoor.Kinds[kind])] = _sum[cell] / n + (_paint[cell] / n + _warmth[cell] / n);
            }
        }
        if (_wantsSteps) AddSteps(values);
        AddZones(values);
        if (door.Wants(Characteristic.Twist) && door.Corners is [int a, int b, int c, int d]) values[door.DoorColumn(Characteristic.Twist)] = Twist.OfCorners(FlushAt(a), FlushAt(b), FlushAt(c), FlushAt(d));
        return AddSeal(values) ? values : null;

        double FlushAt(int station) => values[StudiedDoor.StationColumn(station, Characteristic.Flush)];
    }

    private static int Cell(int station, int kind) => station * StudiedDoor.Kinds.Length + kind;

    // -1 where it is out of the usual.
    private int CellOf(ReadingPlace place)
    {
        int kind = Array.IndexOf(StudiedDoor.Kinds, place.Characteristic), station = door.PlaceOf(place.Station);
        bool isAsked = kind >= 0 && (place.Definition is not string given || door.Definitions[kind] is not string asked || string.Equals(given, asked, StringComparison.OrdinalIgnoreCase));
        return isAsked && station >= 0 ? Cell(station, kind) : -1;
    }

    private void AddSteps(double[] values)
    {
        for (int station = 0; station < door.Seals.Length; station++)
        {
            if (_count[Cell(station, Flush)] == 0) continue;
            if (StepsFromFlush.At(door.Door.Stations[station], door.Plan.Airflow!.Value, values[StudiedDoor.StationColumn(station, Characteristic.Flush)]) is not StepsFromFlush steps) continue;
            if (door.Wants(Characteristic.StepForward)) values[StudiedDoor.StationColumn(station, Characteristic.StepForward)] = steps.ForwardMm;
            if (door.Wants(Characteristic.StepAft)) values[StudiedDoor.StationColumn(station, Characteristic.StepAft)] = steps.AftMm;
        }
    }

    private void AddZones(double[] values)
    {
        bool range = door.Wants(Characteristic.GapRange);
        if (!range && _gaps is null) return;
        for (int z = 0; z < door.Zones.Length; z++)
        {
            StudiedZone zone = door.Zones[z];
            double[] gaps = Array.ConvertAll(zone.Stations, s => values[StudiedDoor.StationColumn(s, Characteristic.Gap)]);
            if (gaps.Any(double.IsNaN)) continue;
            if (range && gaps.Length >= 2) values[door.ZoneColumn(z, Characteristic.GapRange)] = gaps.Max() - gaps.Min();
            if (_gaps is null || gaps.Length < 3 || zone.Along is not double[] along) continue;
            if (GapOverZone.TaperShares(along, Array.ConvertAll(zone.Stations, _gaps.At)) is double[] shares) values[door.ZoneColumn(z, Characteristic.GapTaper)] = GapOverZone.TaperOf(shares, gaps);
        }
    }

    private bool AddSeal(double[] values)
    {
        bool compressions = door.Wants(Characteristic.Compression);
        if (!compressions && !_wantsLoads || !door.HasSealToStudy) return true;
        SealStation[] stations = new SealStation[door.Seals.Length];
        bool any = false, missing = false;
        for (int i = 0; i < stations.Length; i++)
        {
            bool read = _count[Cell(i, LandGap)] > 0;
            any |= read;
            double? compression = null;
            if (door.Seals[i] is Seal seal)
            {
                if (read) compression = CompressionSet.CompressionPercent(seal.FreeHeightMm, values[StudiedDoor.StationColumn(i, Characteristic.LandGap)]);
                else missing = true;
            }
            if (compressions && compression is double percent) values[StudiedDoor.StationColumn(i, Characteristic.Compression)] = percent;
            if (_wantsLoads) stations[i] = new(door.Door.Stations[i].Name, door.Door.Stations[i].AlongMm, compression, Curve: door.Curves[i]) { HasSeal = door.Seals[i] is not null };
        }
        if (!any || !_wantsLoads) return true;
        // What was not read is predicted, which takes the whole of what was measured.
        if (missing) return false;
        if (SealRing.ClosingLoadOf(stations, door.Door.PerimeterMm) is not double load) return true;
        if (door.Wants(Characteristic.ClosingLoad)) values[door.DoorColumn(Characteristic.ClosingLoad)] = load;
        if (door.Wants(Characteristic.HandleForce) && door.Door.SealLeverMm is double sealLever && door.Door.HandleLeverMm is double handleLever)
            values[door.DoorColumn(Characteristic.HandleForce)] = HandleForce.AtHandleN(load, sealLever, handleLever);
        return true;
    }
}
