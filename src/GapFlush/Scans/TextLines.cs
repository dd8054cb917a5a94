namespace GapFlush.Scans;

/// <summary>Lines of a text file as bytes, whatever their line ends, without an allocation a line.</summary>
internal sealed class TextLines(ByteFeed feed)
{
    private int _pending;
    private bool _ended;

    /// <summary>Number of the line last handed out, from 1.</summary>
    public int Number { get; private set; }

    /// <summary>Leaves the rest of the feed, from the line after the last, to others.</summary>
    public void Leave()
    {
        feed.Take(_pending);
        _pending = 0;
    }

    /// <summary>The next line without its end; false at the end of the file. The span is good until the next call.</summary>
    public bool Next(out ReadOnlySpan<byte> line)
    {
        feed.Take(_pending);
        _pending = 0;
        int searched = 0;
        while (true)
        {
            ReadOnlySpan<byte> ready = feed.Ready;
            int at = ready[searched..].IndexOfAny((byte)'\n', (byte)'\r');
            if (at >= 0)
            {
                at += searched;
                // A carriage return at the very end of the window may have its line feed behind it.
                if (ready[at] == '\r' && at + 1 == ready.Length && !_ended)
                {
                    _ended = !feed.Fill();
                    continue;
                }
                line = ready[..at];
                _pending = at + (ready[at] == '\r' && at + 1 < ready.Length && ready[at + 1] == '\n' ? 2 : 1);
                Number++;
                return true;
            }
            searched = ready.Length;
            if (!_ended)
            {
                if (feed.IsFull) throw new ScanFormatException("a line of more than a megabyte", "lines of text with a point each", "This is not a text file of points; give the scan itself.", Number + 1);
                _ended = !feed.Fill();
                if (!_ended) continue;
            }
            line = ready;
            _pending = ready.Length;
            if (ready.Length == 0) return false;
            Number++;
            return true;
        }
    }
}
