namespace GapFlush.Registration;

/// <summary>An even sample of a scan in bounded memory: every so many points, the stride doubling as the scan grows.</summary>
public sealed class ScanSample
{
    private const int Most = 1 << 20;
    private float[] _values = new float[3 * 4096];
    private int _count, _phase;
    private int _stride = 1;

    /// <summary>Points kept.</summary>
    public int Count => _count;

    /// <summary>The box that holds all points, mm: least and largest of x, y, z.</summary>
    public (double X0, double Y0, double Z0, double X1, double Y1, double Z1) Box { get; private set; } =
        (double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity, double.NegativeInfinity, double.NegativeInfinity, double.NegativeInfinity);

    /// <summary>Where the kept numbers count from, so that floats hold them.</summary>
    public Geometry.Point3 Origin { get; private set; }

    /// <summary>A kept point.</summary>
    public Geometry.Point3 this[int i] => new(Origin.X + _values[3 * i], Origin.Y + _values[3 * i + 1], Origin.Z + _values[3 * i + 2]);

    /// <summary>Takes a block of points.</summary>
    /// <param name="coordinates">x, y, z in turn.</param>
    /// <param name="toMm">Factor to mm.</param>
    [System.Runtime.CompilerServices.MethodImpl(System.Runtime.CompilerServices.MethodImplOptions.AggressiveOptimization)]
    public void Add(ReadOnlySpan<double> coordinates, double toMm)
    {
        if (_count == 0 && coordinates.Length >= 3) Origin = new(coordinates[0] * toMm, coordinates[1] * toMm, coordinates[2] * toMm);
        int i = 3 * _phase;
        for (; i < coordinates.Length; i += 3 * _stride)
        {
            double x = coordinates[i] * toMm, y = coordinates[i + 1] * toMm, z = coordinates[i + 2] * toMm;
            var b = Box;
            Box = (Math.Min(b.X0, x), Math.Min(b.Y0, y), Math.Min(b.Z0, z), Math.Max(b.X1, x), Math.Max(b.Y1, y), Math.Max(b.Z1, z));
            if (_count == Most)
            {
                for (int k = 0; k < _count / 2; k++) Array.Copy(_values, 6 * k, _values, 3 * k, 3);
                _count /= 2;
                _stride *= 2;
            }
            if (3 * _count == _values.Length) Array.Resize(ref _values, 2 * _values.Length);
            (_values[3 * _count], _values[3 * _count + 1], _values[3 * _count + 2]) = ((float)(x - Origin.X), (float)(y - Origin.Y), (float)(z - Origin.Z));
            _count++;
        }
        _phase = (i - coordinates.Length) / 3;
    }
}
