using System.Runtime.CompilerServices;
using GapFlush.Geometry;
using GapFlush.Scans;

namespace GapFlush.Registration;

/// <summary>An even sample of a scan in bounded memory: every so many points, the stride doubling as the scan grows.</summary>
/// <param name="toMm">Factor from the scan's unit to mm.</param>
/// <param name="expected">About how many points will come, so that no more than needed are looked at; 0 where nobody knows.</param>
/// <param name="usual">About how many points to keep.</param>
public sealed class ScanSample(double toMm = 1, long expected = 0, int usual = ScanSample.Usual) : IPointSieve
{
    // Two thirds of a million points show the seam of a door in a square metre of skin; there is room for more, because how many will come is a guess.
    internal const int Usual = 700_000;

    /// <summary>What shows the seam of a door in six square metres; three hundred megabytes while it is looked for, so only where the usual number showed none.</summary>
    internal const int Dense = 6_000_000;

    private readonly int _most = Math.Max(1 << 20, usual);
    private readonly int _every = (int)Math.Clamp((expected + usual - 1) / usual, 1, 1 << 20);
    private readonly double _toMm = toMm;
    private float[] _values = new float[3 * 4096];
    private int _count, _stride = 1;
    private long _seen;

    /// <summary>Points kept.</summary>
    public int Count => _count;

    /// <summary>The box that holds the kept points, mm: least and largest of x, y, z.</summary>
    public (double X0, double Y0, double Z0, double X1, double Y1, double Z1) Box { get; private set; } =
        (double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity, double.NegativeInfinity, double.NegativeInfinity, double.NegativeInfinity);

    /// <summary>Where the kept numbers count from, so that floats hold them.</summary>
    public Point3 Origin { get; private set; }

    /// <summary>The kept points, x, y, z in turn, counted from <see cref="Origin"/>.</summary>
    internal ReadOnlySpan<float> Values => _values.AsSpan(0, 3 * _count);

    /// <summary>A kept point.</summary>
    public Point3 this[int i] => new(Origin.X + _values[3 * i], Origin.Y + _values[3 * i + 1], Origin.Z + _values[3 * i + 2]);

    IPointTray IPointSieve.NewTray() => new Tray(this);

    /// <summary>Takes points one after another; for scans that are in memory.</summary>
    /// <param name="coordinates">x, y, z in turn.</param>
    public void Add(ReadOnlySpan<double> coordinates)
    {
        Tray tray = new(this);
        tray.Sift(coordinates);
        tray.HandOver();
    }

    private void Accept(double x, double y, double z)
    {
        (x, y, z) = (x * _toMm, y * _toMm, z * _toMm);
        if (_count == 0) Origin = new(x, y, z);
        var b = Box;
        Box = (Math.Min(b.X0, x), Math.Min(b.Y0, y), Math.Min(b.Z0, z), Math.Max(b.X1, x), Math.Max(b.Y1, y), Math.Max(b.Z1, z));
        if (_seen++ % _stride != 0) return;
        if (_count == _most)
        {
            for (int k = 0; k < _count / 2; k++) Array.Copy(_values, 6 * k, _values, 3 * k, 3);
            _count /= 2;
            _stride *= 2;
            if ((_seen - 1) % _stride != 0) return;
        }
        if (3 * _count == _values.Length) Array.Resize(ref _values, 2 * _values.Length);
        (_values[3 * _count], _values[3 * _count + 1], _values[3 * _count + 2]) = ((float)(x - Origin.X), (float)(y - Origin.Y), (float)(z - Origin.Z));
        _count++;
    }

    private sealed class Tray(ScanSample sample) : IPointTray
    {
        private double[] _kept = new double[3 * 1024];
        private int _at;

        [MethodImpl(MethodImplOptions.AggressiveOptimization)]
        public void Sift(ReadOnlySpan<double> coordinates)
        {
            // By the place in the block, so that it does not matter which thread reads it.
            for (int i = 0; i + 2 < coordinates.Length; i += 3 * sample._every)
            {
                if (_at == _kept.Length) Array.Resize(ref _kept, 2 * _kept.Length);
                coordinates.Slice(i, 3).CopyTo(_kept.AsSpan(_at));
                _at += 3;
            }
        }

        public void HandOver()
        {
            for (int i = 0; i < _at; i += 3) sample.Accept(_kept[i], _kept[i + 1], _kept[i + 2]);
            _at = 0;
        }
    }
}
