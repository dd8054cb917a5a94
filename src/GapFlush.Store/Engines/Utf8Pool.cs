using System.Text;

namespace GapFlush.Store.Engines;

/// <summary>Gives the same string for the same bytes while they keep coming back: names and values repeat in nearly every row of a record.</summary>
internal sealed class Utf8Pool
{
    private const int Slots = 8192;
    private readonly (byte[] Bytes, string Text)[] _slots = new (byte[], string)[Slots];

    /// <summary>The text of some UTF-8.</summary>
    public string Text(ReadOnlySpan<byte> bytes)
    {
        uint hash = 2166136261;
        foreach (byte b in bytes) hash = (hash ^ b) * 16777619;
        ref (byte[] Bytes, string Text) slot = ref _slots[(hash ^ (hash >> 15)) % Slots];
        if (slot.Bytes is not null && bytes.SequenceEqual(slot.Bytes)) return slot.Text;
        slot = (bytes.ToArray(), Encoding.UTF8.GetString(bytes));
        return slot.Text;
    }
}
