using GapFlush.Inputs;

namespace GapFlush.Cli.Running;

/// <summary>One line on a terminal that says how far long work has come; written over itself, and wiped when the work is done.</summary>
internal sealed class ProgressLine
{
    // Work that is over sooner shows nothing; faster changes are not read.
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(0.5), Pause = TimeSpan.FromSeconds(0.1);

    private readonly TextWriter _writer;
    private readonly TimeProvider _clock;
    private readonly int _width;
    private readonly Lock _lock = new();
    private readonly long _begun;
    private long _told;
    private int _shown;

    public ProgressLine(TextWriter writer, TimeProvider clock, int width)
    {
        (_writer, _clock, _width) = (writer, clock, Math.Max(20, width));
        _begun = _told = clock.GetTimestamp();
    }

    /// <summary>Tells what is being done and how much of it is: "sectioning station 12 of 54".</summary>
    /// <param name="what">What is being done: "sectioning station".</param>
    /// <param name="done">How much of it is done.</param>
    /// <param name="of">Of how much; 0 where that is not known.</param>
    public void Tell(string what, long done, long of)
    {
        lock (_lock)
        {
            if (_clock.GetElapsedTime(_begun) < Patience || _clock.GetElapsedTime(_told) < Pause) return;
            _told = _clock.GetTimestamp();
            string line = of <= 0 ? what : what.EndsWith('%') ? Invariant($"{what[..^1]}{100.0 * Math.Min(done, of) / of:0} %") : Invariant($"{what} {done} of {of}");
            if (line.Length > _width - 1) line = line[..(_width - 2)] + "…";
            _writer.Write($"\r{line.PadRight(_shown)}");
            _writer.Flush();
            _shown = line.Length;
        }
    }

    /// <summary>Wipes the line.</summary>
    public void End()
    {
        lock (_lock)
        {
            if (_shown == 0) return;
            _writer.Write($"\r{new string(' ', _shown)}\r");
            _writer.Flush();
            _shown = 0;
        }
    }

    /// <summary>A file whose reading is told.</summary>
    public InputFile Watch(InputFile file) => file with { Open = () => new WatchedStream(file.Open(), (done, of) => Tell($"reading {Path.GetFileName(file.Name)}, %", done, of)) };

    // Passes everything on, and tells how far reading has come.
    private sealed class WatchedStream(Stream inner, Action<long, long> tell) : Stream
    {
        private readonly long _length = inner.CanSeek ? inner.Length : 0;
        private long _read;

        public override bool CanRead => inner.CanRead;

        public override bool CanSeek => inner.CanSeek;

        public override bool CanWrite => false;

        public override long Length => inner.Length;

        public override long Position
        {
            get => inner.Position;
            set => inner.Position = value;
        }

        public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

        public override int Read(Span<byte> buffer)
        {
            int got = inner.Read(buffer);
            _read += got;
            tell(_read, _length);
            return got;
        }

        public override long Seek(long offset, SeekOrigin origin) => inner.Seek(offset, origin);

        public override void Flush()
        {
        }

        public override void SetLength(long value) => throw new NotSupportedException("An input is not written to.");

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException("An input is not written to.");

        protected override void Dispose(bool disposing)
        {
            if (disposing) inner.Dispose();
            base.Dispose(disposing);
        }
    }
}
