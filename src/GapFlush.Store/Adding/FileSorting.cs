using GapFlush.Measurements;

namespace GapFlush.Store.Adding;

/// <summary>Sorts the readings of a file into new ones, corrections and further repeats, in the order of the file.</summary>
/// <param name="sameKey">What to do with a key that is taken.</param>
/// <param name="standing">The entries of a build that stand.</param>
internal sealed class FileSorting(SameKey sameKey, Func<string, IReadOnlyList<Entry>> standing)
{
    private readonly Dictionary<string, Dictionary<ReadingKey, Entry>> _builds = [];
    private readonly List<Entry> _rows = [];
    private readonly List<KeyTaken> _taken = [];

    /// <summary>The rows to enter; number, file and hash are still to come. <see cref="Entry.Corrects"/> names an entry of the record or, below zero, a row of this file.</summary>
    public IReadOnlyList<Entry> Rows => _rows;

    /// <summary>Readings whose key was taken.</summary>
    public IReadOnlyList<KeyTaken> Taken => _taken;

    /// <summary>Rows that stand in for others.</summary>
    public int Corrected { get; private set; }

    /// <summary>Rows that were given a further repeat number.</summary>
    public int Repeated { get; private set; }

    /// <summary>Readings that are in the record word for word.</summary>
    public int LeftOut { get; private set; }

    /// <summary>Takes the next reading of the file.</summary>
    public void Take(Reading reading)
    {
        if (!_builds.TryGetValue(reading.Build, out Dictionary<ReadingKey, Entry>? build))
        {
            build = [];
            foreach (Entry entry in standing(reading.Build)) build[ReadingKey.Of(entry.Reading)] = entry;
            _builds[reading.Build] = build;
        }
        ReadingKey key = ReadingKey.Of(reading);
        if (!build.TryGetValue(key, out Entry? old))
        {
            Enter(build, key, reading, null);
            return;
        }
        _taken.Add(new(reading, old, ""));
        if (sameKey == SameKey.Repeat)
        {
            int next = key.Repeat + 1;
            while (build.ContainsKey(key with { Repeat = next })) next++;
            Enter(build, key with { Repeat = next }, reading with { Repeat = next }, null);
            Repeated++;
        }
        else if (sameKey == SameKey.Replace)
        {
            if (IsSame(old.Reading, reading))
            {
                LeftOut++;
            }
            else
            {
                Enter(build, key, reading, old.Number);
                Corrected++;
            }
        }
    }

    private void Enter(Dictionary<ReadingKey, Entry> build, ReadingKey key, Reading reading, long? corrects)
    {
        // A number below zero is a place among the rows of this file, from -1; the numbers of the record are known when it is entered.
        Entry row = new() { Number = -1 - _rows.Count, File = 0, Corrects = corrects, Reading = reading };
        _rows.Add(row);
        build[key] = row;
    }

    private static bool IsSame(Reading a, Reading b) => Bare(a) == Bare(b);

    private static Reading Bare(Reading r) => r with { Source = "", Line = 0, Repeat = r.Repeat ?? 1 };
}
