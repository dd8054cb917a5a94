using GapFlush.Plan;

namespace GapFlush.Hanging;

/// <summary>One deviation and the parts it is made of, mm; the four add up to it.</summary>
/// <param name="Station">Station name.</param>
/// <param name="Characteristic">Gap or flush.</param>
/// <param name="DeviationMm">Value minus nominal.</param>
/// <param name="HangMm">How the door hangs in its opening: what hinges and latches cure.</param>
/// <param name="DoorMm">The door's own shape.</param>
/// <param name="OpeningMm">The opening's own shape.</param>
/// <param name="EdgeMm">Edge radius, draft and tilt, as far as the definition sees them.</param>
/// <param name="ExpandedUncertaintyMm">Expanded uncertainty of the value; null where it is not known.</param>
public sealed record DeviationShare(string Station, Characteristic Characteristic, double DeviationMm, double HangMm, double DoorMm, double OpeningMm, double EdgeMm, double? ExpandedUncertaintyMm)
{
    /// <summary>What the deviation is laid to: the largest of the parts that go the way of the deviation, or null where the deviation is no larger than its uncertainty.</summary>
    public string? LaidTo
    {
        get
        {
            if (!(Math.Abs(DeviationMm) > (ExpandedUncertaintyMm ?? 0))) return null;
            (string word, double part) = new[] { ("hang", HangMm), ("door", DoorMm), ("opening", OpeningMm), ("edge", EdgeMm) }.MaxBy(p => p.Item2 * Math.Sign(DeviationMm));
            return part * Math.Sign(DeviationMm) > 0 ? word : null;
        }
    }
}
