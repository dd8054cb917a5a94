using GapFlush.Geometry;
using GapFlush.Plan;

namespace GapFlush.Drainage;

/// <summary>Every attitude between two pitches and two rolls.</summary>
/// <remarks>
/// <para>Frame: degrees; pitch nose up positive, roll starboard wing down positive.</para>
/// <para>Method: the height of one point over another, f(p, q) = -dx sin p + cos p (dz cos q - dy sin q), is least and greatest at an end of each angle or where
/// its derivative vanishes, so a few candidates decide exactly. METHOD.md, eq. 5.</para>
/// <para>Accuracy: worst fall to 1e-13 relative against 40-digit arithmetic (reference group <c>gutters</c>), never beaten by a dense search (AttitudeBoxTests).</para>
/// </remarks>
public sealed record AttitudeBox
{
    private readonly double _sinPitch0, _cosPitch0, _sinPitch1, _cosPitch1, _sinRoll0, _cosRoll0, _sinRoll1, _cosRoll1;

    /// <summary>Makes a box.</summary>
    /// <exception cref="ArgumentException">An end is not a number, is 90 degrees or more, or the ends are out of order.</exception>
    public AttitudeBox(double pitchMinDeg, double pitchMaxDeg, double rollMinDeg, double rollMaxDeg)
    {
        foreach ((double low, double high, string what) in new[] { (pitchMinDeg, pitchMaxDeg, "pitch"), (rollMinDeg, rollMaxDeg, "roll") })
        {
            if (!(low <= high) || !(Math.Abs(low) < 90) || !(Math.Abs(high) < 90))
                throw new ArgumentException(Invariant($"The {what} range {low} to {high} degrees must rise and stay below 90 degrees either way."));
        }
        (PitchMinDeg, PitchMaxDeg, RollMinDeg, RollMaxDeg) = (pitchMinDeg, pitchMaxDeg, rollMinDeg, rollMaxDeg);
        (_sinPitch0, _cosPitch0) = Math.SinCos(double.DegreesToRadians(pitchMinDeg));
        (_sinPitch1, _cosPitch1) = Math.SinCos(double.DegreesToRadians(pitchMaxDeg));
        (_sinRoll0, _cosRoll0) = Math.SinCos(double.DegreesToRadians(rollMinDeg));
        (_sinRoll1, _cosRoll1) = Math.SinCos(double.DegreesToRadians(rollMaxDeg));
    }

    /// <summary>Least pitch.</summary>
    public double PitchMinDeg { get; }

    /// <summary>Greatest pitch.</summary>
    public double PitchMaxDeg { get; }

    /// <summary>Least roll.</summary>
    public double RollMinDeg { get; }

    /// <summary>Greatest roll.</summary>
    public double RollMaxDeg { get; }

    /// <summary>The smallest box that holds some attitudes; the level attitude alone where there are none.</summary>
    public static AttitudeBox Around(IReadOnlyCollection<Attitude> attitudes) => attitudes.Count == 0 ? new(0, 0, 0, 0)
        : new(attitudes.Min(a => a.PitchDeg), attitudes.Max(a => a.PitchDeg), attitudes.Min(a => a.RollDeg), attitudes.Max(a => a.RollDeg));

    /// <summary>The attitude in the box in which a step falls least for its horizontal run.</summary>
    /// <param name="step">From the upper end of the step to the end that water should run to, mm; not zero.</param>
    public WorstFall LeastFall(Vector3 step)
    {
        // Fall over run rises with the fall alone, the length being fixed, so the greatest height of the step's end over its start decides.
        (double height, double pitch, double roll) = Greatest(step);
        return new(new Slope(-height / step.Cross(UpVector.For(pitch, roll)).Length), pitch, roll);
    }

    /// <summary>Greatest height of the end of a vector over its start in the box, mm. Exact like <see cref="LeastFall"/>, without saying where; for searches.</summary>
    internal double GreatestHeight(Vector3 d)
    {
        double across = Peak(-d.Y, d.Z, _sinRoll0, _cosRoll0, _sinRoll1, _cosRoll1);
        return Peak(-d.X, across, _sinPitch0, _cosPitch0, _sinPitch1, _cosPitch1);
    }

    /// <summary>Least height of the end of a vector over its start in the box, mm.</summary>
    internal double LeastHeight(Vector3 d) => -GreatestHeight(-d);

    // Greatest of a sin t + b cos t between two angles less than half a turn apart: the amplitude where the slope changes sign from rising to falling, else an end.
    private static double Peak(double a, double b, double sin0, double cos0, double sin1, double cos1) =>
        a * cos0 - b * sin0 > 0 && a * cos1 - b * sin1 < 0 ? Math.Sqrt(a * a + b * b) : Math.Max(a * sin0 + b * cos0, a * sin1 + b * cos1);

    internal AttitudeBox[] Quarters()
    {
        double p = (PitchMinDeg + PitchMaxDeg) / 2, q = (RollMinDeg + RollMaxDeg) / 2;
        bool noPitch = PitchMinDeg == PitchMaxDeg, noRoll = RollMinDeg == RollMaxDeg;
        return noPitch && noRoll ? [this]
            : noPitch ? [new(p, p, RollMinDeg, q), new(p, p, q, RollMaxDeg)]
            : noRoll ? [new(PitchMinDeg, p, q, q), new(p, PitchMaxDeg, q, q)]
            : [new(PitchMinDeg, p, RollMinDeg, q), new(p, PitchMaxDeg, RollMinDeg, q), new(PitchMinDeg, p, q, RollMaxDeg), new(p, PitchMaxDeg, q, RollMaxDeg)];
    }

    private (double Height, double PitchDeg, double RollDeg) Greatest(Vector3 d)
    {
        (double Height, double PitchDeg, double RollDeg) best = (double.NegativeInfinity, 0, 0);
        foreach (double q in Candidates(RollMinDeg, RollMaxDeg, Math.Atan2(-d.Y, d.Z)))
        {
            double across = -d.Y * Math.Sin(double.DegreesToRadians(q)) + d.Z * Math.Cos(double.DegreesToRadians(q));
            foreach (double p in Candidates(PitchMinDeg, PitchMaxDeg, Math.Atan2(-d.X, across)))
            {
                double height = d.Dot(UpVector.For(p, q));
                if (height > best.Height) best = (height, p, q);
            }
        }
        return best;
    }

    private static IEnumerable<double> Candidates(double low, double high, double stationaryRad)
    {
        yield return low;
        if (high > low) yield return high;
        for (int k = -1; k <= 1; k++)
        {
            double at = double.RadiansToDegrees(stationaryRad) + 180 * k;
            if (at > low && at < high) yield return at;
        }
    }
}
