namespace GapFlush.Store.Verifying;

/// <summary>Goes along the chain from its start and says where it does not hold.</summary>
/// <remarks>After a link that does not hold, the walk goes on from the link as it is stored, so that one alteration is told once and at its place.</remarks>
internal sealed class ChainCheck
{
    private readonly IReadOnlyList<RecordedFile> _files;
    private readonly string? _notedHead;
    private readonly Chain _chain = new();
    private readonly List<Finding> _findings = [];
    private readonly Dictionary<long, long> _correctedBy = [];
    private byte[] _before = Chain.Start;
    private long? _notedAt;
    private long _inFile;
    private int _file = -1;

    /// <param name="files">The files, by number.</param>
    /// <param name="notedHead">A head noted earlier, in hexadecimal, or null.</param>
    public ChainCheck(IReadOnlyList<RecordedFile> files, string? notedHead) => (_files, _notedHead) = (files, notedHead?.Trim().ToLowerInvariant());

    /// <summary>Checks every row.</summary>
    /// <param name="entries">The entries, by number, with their links.</param>
    /// <param name="brokenGuards">What is missing or altered of the tables and of what guards them.</param>
    public Verification Run(IEnumerable<Entry> entries, IReadOnlyList<string> brokenGuards)
    {
        foreach (string guard in brokenGuards) _findings.Add(new("guard", null, null, guard));
        Dictionary<long, int> places = [];
        for (int i = 0; i < _files.Count; i++) places[_files[i].Number] = i;
        if (_notedHead == Convert.ToHexStringLower(Chain.Start)) _notedAt = 0;
        long last = 0;
        foreach (Entry entry in entries)
        {
            if (entry.Number != last + 1)
            {
                _findings.Add(new("missing", last + 1, null, entry.Number == last + 2 ? Invariant($"entry {last + 1} is missing") : Invariant($"entries {last + 1} to {entry.Number - 1} are missing")));
                // What follows a hole cannot be linked across it; the walk goes on from here.
                GoToFile(places, entry);
                Correction(entry);
                _before = entry.Hash;
                _inFile++;
                last = entry.Number;
                Note(entry.Hash, entry.Number);
                continue;
            }
            last = entry.Number;
            GoToFile(places, entry);
            _inFile++;
            if (!_chain.Link(_before, entry).AsSpan().SequenceEqual(entry.Hash)) _findings.Add(new("changed", entry.Number, entry.File, $"entry {Words(entry)} does not agree with its link: it was altered, put in or moved, or the link before it was{(entry.Unread is null ? "" : $"; it holds {entry.Unread}, which this version cannot read")}"));
            _before = entry.Hash;
            Correction(entry);
            Note(entry.Hash, entry.Number);
        }
        EndFile();
        while (_file + 1 < _files.Count) NextFile(last);
        Head head = new(_files.Count, last, Convert.ToHexStringLower(_before));
        if (_notedHead is { Length: > 0 } && _notedAt is null)
            _findings.Add(new("head", null, null, $"the noted head {_notedHead} is nowhere in the record: it was cut short or written anew since the head was noted, or the head was copied wrongly"));
        return new(head, _findings, _notedAt);
    }

    private void GoToFile(Dictionary<long, int> places, Entry entry)
    {
        if (_file >= 0 && _files[_file].Number == entry.File) return;
        if (!places.TryGetValue(entry.File, out int place))
        {
            _findings.Add(new("missing", entry.Number, entry.File, Invariant($"file {entry.File}, which entry {entry.Number} names, is missing")));
            return;
        }
        if (place < _file)
        {
            _findings.Add(new("moved", entry.Number, entry.File, $"entry {Words(entry)} names file {entry.File} after entries of a later file"));
            return;
        }
        EndFile();
        while (_file < place) NextFile(entry.Number - 1);
    }

    private void NextFile(long before)
    {
        _file++;
        RecordedFile file = _files[_file];
        if (file.Number != _file + 1 && (_file == 0 || _files[_file - 1].Number != file.Number - 1)) _findings.Add(new("missing", null, file.Number - 1, Invariant($"the file before file {file.Number} is missing")));
        if (!_chain.Link(_before, file).AsSpan().SequenceEqual(file.Hash))
            _findings.Add(new("changed", null, file.Number, Invariant($"the row of file {file.Number} ({file.Name}) does not agree with its link: it was altered, or what stands before it was altered or is missing")));
        _before = file.Hash;
        _inFile = 0;
        Note(file.Hash, before);
    }

    private void EndFile()
    {
        if (_file < 0) return;
        RecordedFile file = _files[_file];
        if (_inFile < file.Entries) _findings.Add(new("missing", null, file.Number, Invariant($"file {file.Number} ({file.Name}) came with {file.Entries} entries and {_inFile} are there")));
        else if (_inFile > file.Entries) _findings.Add(new("inserted", null, file.Number, Invariant($"file {file.Number} ({file.Name}) came with {file.Entries} entries and {_inFile} are there")));
        _inFile = file.Entries;
    }

    private void Correction(Entry entry)
    {
        if (entry.Corrects is not long old) return;
        if (old >= entry.Number || old < 1) _findings.Add(new("correction", entry.Number, entry.File, Invariant($"entry {entry.Number} corrects entry {old}, which does not come before it")));
        else if (!_correctedBy.TryAdd(old, entry.Number)) _findings.Add(new("correction", entry.Number, entry.File, Invariant($"entries {_correctedBy[old]} and {entry.Number} both correct entry {old}")));
    }

    private void Note(byte[] link, long entry)
    {
        if (_notedHead is not null && _notedAt is null && Convert.ToHexStringLower(link) == _notedHead) _notedAt = entry;
    }

    private static string Words(Entry entry) => Invariant($"{entry.Number} ({entry.Reading.Build} {entry.Reading.Door} {entry.Reading.Station} {entry.UnknownCharacteristic ?? entry.Reading.Characteristic.Words})");
}
