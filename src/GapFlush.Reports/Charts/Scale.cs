using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Charts;

/// <summary>Turns values into places of a plot: numbers from left to right, values from bottom to top.</summary>
internal sealed class Scale
{
    private readonly Box _box;
    private readonly double _low, _high;
    private readonly int _count;

    public Scale(Box box, IEnumerable<double> values, int count)
    {
        double[] all = [.. values.Where(double.IsFinite)];
        double low = all.Length == 0 ? 0 : all.Min(), high = all.Length == 0 ? 1 : all.Max(), margin = Math.Max(1e-6, 0.06 * (high - low));
        (_box, _low, _high, _count) = (box, low - margin, high + margin, Math.Max(1, count));
    }

    public double X(int number) => _box.Left + (number - 0.5) / _count * _box.Width;

    public double Y(double value) => _box.Bottom - (value - _low) / (_high - _low) * _box.Height;

    public Place At(int number, double value) => new(X(number), Y(value));

    /// <summary>Round values to label, four to eight of them.</summary>
    public IEnumerable<double> Ticks()
    {
        double raw = (_high - _low) / 5, power = Math.Pow(10, Math.Floor(Math.Log10(raw))), step = power * (raw / power < 1.5 ? 1 : raw / power < 3.5 ? 2 : raw / power < 7.5 ? 5 : 10);
        for (double at = Math.Ceiling(_low / step) * step; at <= _high; at += step) yield return Math.Abs(at) < step * 1e-9 ? 0 : at;
    }

    /// <summary>Decimals that tell the ticks apart.</summary>
    public int Decimals
    {
        get
        {
            double[] ticks = [.. Ticks().Take(2)];
            return ticks.Length < 2 ? 2 : Math.Clamp((int)Math.Ceiling(-Math.Log10(ticks[1] - ticks[0]) - 1e-9), 0, 6);
        }
    }
}
