using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using GapFlush.Measurements;

namespace GapFlush.Store;

/// <summary>Links every row of the record to the one before it by SHA-256.</summary>
/// <remarks>METHOD.md, "The chain". A link is taken over the link before and every field of the row, each with its length in front, so that no two rows can be
/// mistaken for one another by moving letters from one field to the next. The number of an entry is its place in the chain and so needs no field.</remarks>
internal sealed class Chain
{
    /// <summary>Bytes in a link.</summary>
    public const int LinkSize = SHA256.HashSizeInBytes;

    private byte[] _bytes = new byte[1024];
    private int _length;

    /// <summary>The link before the first row: all zero.</summary>
    public static byte[] Start => new byte[LinkSize];

    /// <summary>The link of a file's row.</summary>
    public byte[] Link(ReadOnlySpan<byte> before, RecordedFile file)
    {
        Begin(before, (byte)'F');
        Add(file.Name);
        Add(file.Sha256);
        Add(file.Entries);
        Add(file.AddedBy);
        Add(TimeText.Of(file.AddedAt));
        Add(file.Why);
        return SHA256.HashData(_bytes.AsSpan(0, _length));
    }

    /// <summary>The link of an entry.</summary>
    public byte[] Link(ReadOnlySpan<byte> before, Entry entry)
    {
        Reading r = entry.Reading;
        Begin(before, (byte)'E');
        Add(entry.File);
        Add(r.Line);
        Add(entry.Corrects);
        Add(r.Build);
        Add(r.Door);
        Add(r.Station);
        Add(entry.UnknownCharacteristic ?? r.Characteristic.Code);
        Add(r.Stage);
        Add(r.Definition);
        Add(r.Repeat);
        Add(entry.IsWithdrawal ? null : r.Value);
        Add(r.WrittenValue);
        Add(r.WrittenUnit);
        Add(r.Gauge);
        Add(r.Inspector);
        Add(r.TakenAt is DateTimeOffset at ? TimeText.Of(at) : null);
        Add(r.TemperatureC);
        Add(r.ExpandedUncertainty);
        Add(r.PlanIssue);
        Add(r.Note);
        return SHA256.HashData(_bytes.AsSpan(0, _length));
    }

    private void Begin(ReadOnlySpan<byte> before, byte kind)
    {
        before.CopyTo(_bytes);
        _length = before.Length;
        _bytes[_length++] = kind;
    }

    private void Add(string? text)
    {
        if (text is null)
        {
            AddLength(-1);
            return;
        }
        Room(4 + Encoding.UTF8.GetMaxByteCount(text.Length));
        int written = Encoding.UTF8.GetBytes(text, _bytes.AsSpan(_length + 4));
        AddLength(written);
        _length += written;
    }

    private void Add(long? number)
    {
        AddLength(number is null ? -1 : 8);
        if (number is not long n) return;
        Room(8);
        BinaryPrimitives.WriteInt64BigEndian(_bytes.AsSpan(_length), n);
        _length += 8;
    }

    private void Add(double? number) => Add(number is double d ? BitConverter.DoubleToInt64Bits(d) : (long?)null);

    private void AddLength(int length)
    {
        Room(4);
        BinaryPrimitives.WriteInt32BigEndian(_bytes.AsSpan(_length), length);
        _length += 4;
    }

    private void Room(int more)
    {
        if (_length + more > _bytes.Length) Array.Resize(ref _bytes, Math.Max(2 * _bytes.Length, _length + more));
    }
}
