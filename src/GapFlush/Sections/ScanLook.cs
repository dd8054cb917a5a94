using GapFlush.Inputs;
using GapFlush.Registration;
using GapFlush.Scans;

namespace GapFlush.Sections;

/// <summary>A scan looked at once: a sample of it, and what the file says of itself. It needs no plan, so a command can look while the plan is read.</summary>
public sealed class ScanLook
{
    private ScanLook(InputFile scan, double toMm, bool repeats, ScanSample sample, StoredPoints? stored, Outcome<ScanFacts> read) => (Scan, ToMm, RepeatsPoints, Sample, Stored, Read) = (scan, toMm, repeats, sample, stored, read);

    /// <summary>The file.</summary>
    public InputFile Scan { get; }

    /// <summary>Factor from its unit to mm.</summary>
    public double ToMm { get; }

    /// <summary>An even sample of its points.</summary>
    public ScanSample Sample { get; }

    /// <summary>True where points shared by triangles come once for each.</summary>
    public bool RepeatsPoints { get; }

    /// <summary>What reading it came to.</summary>
    public Outcome<ScanFacts> Read { get; }

    /// <summary>All its points where the format is slow to decode and there is room; else null.</summary>
    internal StoredPoints? Stored { get; }

    /// <summary>Reads a scan and keeps a sample.</summary>
    /// <param name="scan">The file.</param>
    /// <param name="unitMm">Its unit in mm, or null where none was given: then mm, or what the format itself fixes.</param>
    /// <param name="aligned">True where no second look for a pose is needed.</param>
    public static ScanLook Of(InputFile scan, double? unitMm, bool aligned)
    {
        ScanGuess guess = ScanGuess.Of(scan);
        double toMm = unitMm ?? (guess.IsMetre ? 1000 : 1);
        // Corners are shared by some six triangles.
        ScanSample sample = new(toMm, guess.RepeatsPoints ? guess.Points / 6 : guess.Points, repeats: guess.RepeatsPoints);
        // What is slow to decode is kept for the second look, as long as there is room.
        StoredPoints? stored = guess.IsQuick || aligned ? null : new(toMm);
        return new(scan, toMm, guess.RepeatsPoints, sample, stored, ScanReader.Read(scan, stored is null ? sample : new BothSieves(sample, stored)));
    }
}
