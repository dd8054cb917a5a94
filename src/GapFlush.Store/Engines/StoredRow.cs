using GapFlush.Plan;

namespace GapFlush.Store.Engines;

/// <summary>Turns the fields of one row into what an entry holds, and keeps what cannot be read of it.</summary>
/// <remarks>A row that was altered past reading must not keep the record from being verified: what stands in its place is something that nobody enters, so that
/// the row no longer agrees with its link.</remarks>
internal sealed class StoredRow
{
    private readonly Dictionary<string, Characteristic?> _characteristics = new(StringComparer.Ordinal);
    private List<string>? _unread;

    /// <summary>What could not be read since this was last asked, in words, or null.</summary>
    public string? TakeUnread()
    {
        if (_unread is null) return null;
        string words = string.Join(", ", _unread);
        _unread = null;
        return words;
    }

    /// <summary>The characteristic of a code, letter by letter, and the code itself where this version knows none.</summary>
    public (Characteristic Characteristic, string? Unknown) CharacteristicOf(string code)
    {
        if (!_characteristics.TryGetValue(code, out Characteristic? found)) found = _characteristics[code] = Characteristic.All.FirstOrDefault(c => c.Code == code);
        if (found is not null) return (found, null);
        Unread($"the characteristic '{code}'");
        return (Characteristic.Gap, code);
    }

    /// <summary>A number that fits.</summary>
    public int Whole(long stored, string column)
    {
        if (stored is >= int.MinValue and <= int.MaxValue) return (int)stored;
        Unread($"{column} {stored}");
        return int.MinValue;
    }

    /// <summary>A finite number, or null where none is stored.</summary>
    public double? Number(double? stored, string column)
    {
        if (stored is not double number || double.IsFinite(number)) return stored;
        Unread(Invariant($"{column} {number}"));
        return double.PositiveInfinity;
    }

    /// <summary>The time a text says, written as the record writes it.</summary>
    public DateTimeOffset? Time(string? text)
    {
        if (text is null) return null;
        if (TimeText.Read(text) is DateTimeOffset time && (text.Length == TimeText.UsualLength || TimeText.Of(time) == text)) return time;
        Unread($"the time '{text}'");
        return DateTimeOffset.MinValue;
    }

    private void Unread(string what) => (_unread ??= []).Add(what);
}
