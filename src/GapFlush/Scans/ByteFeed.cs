namespace GapFlush.Scans;

/// <summary>A window that slides over a stream, of fixed size whatever the file claims.</summary>
internal sealed class ByteFeed(Stream stream, int capacity = 1 << 20)
{
    private readonly byte[] _buffer = new byte[capacity];
    private int _start, _end;

    /// <summary>Bytes taken so far.</summary>
    public long Taken { get; private set; }

    public ReadOnlySpan<byte> Ready => _buffer.AsSpan(_start, _end - _start);

    /// <summary>Makes at least so many bytes ready; false where the stream ends before.</summary>
    public bool Need(int count)
    {
        while (_end - _start < count)
        {
            if (!Fill()) return false;
        }
        return true;
    }

    /// <summary>Reads more behind what is ready; false at the end of the stream, or where the window is full.</summary>
    public bool Fill()
    {
        if (_start > 0)
        {
            Buffer.BlockCopy(_buffer, _start, _buffer, 0, _end - _start);
            (_end, _start) = (_end - _start, 0);
        }
        if (_end == _buffer.Length) return false;
        int read = stream.Read(_buffer, _end, _buffer.Length - _end);
        _end += read;
        return read > 0;
    }

    public void Take(int count)
    {
        _start += count;
        Taken += count;
    }

    /// <summary>Takes up to so many bytes out of the window and the stream behind it; fewer only at the end of the stream.</summary>
    public int TakeInto(Span<byte> into)
    {
        int got = Math.Min(into.Length, _end - _start);
        _buffer.AsSpan(_start, got).CopyTo(into);
        _start += got;
        if (got < into.Length) got += stream.ReadAtLeast(into[got..], into.Length - got, throwOnEndOfStream: false);
        Taken += got;
        return got;
    }

    public bool IsFull => _end - _start == _buffer.Length;
}
