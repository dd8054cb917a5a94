namespace GapFlush.Scans;

/// <summary>A file as pieces that can be decoded apart from one another.</summary>
internal abstract class PointChunks
{
    /// <summary>One piece: bytes of the file, and what its decoder noted about them.</summary>
    internal sealed class Chunk(int capacity)
    {
        public byte[] Bytes { get; } = new byte[capacity];

        public int Length { get; set; }

        /// <summary>Lines in it, once decoded; for text.</summary>
        public int Lines { get; set; }

        /// <summary>Where in the bytes what starts; for pieces that are not of one kind throughout.</summary>
        public int[] Marks { get; set; } = [];

        /// <summary>What is wrong with it; told in file order.</summary>
        public ScanFormatException? Fault { get; set; }
    }

    /// <summary>Size of a piece, bytes.</summary>
    public abstract int Capacity { get; }

    /// <summary>Reads the next piece; false at the end. One thread at a time.</summary>
    protected abstract bool Next(Chunk chunk);

    /// <summary>Turns a piece into points. Several threads at once.</summary>
    protected abstract void Decode(Chunk chunk, BlockWriter writer);

    /// <summary>Called for each piece in file order, one thread at a time.</summary>
    protected virtual void Passed(Chunk chunk)
    {
    }

    /// <summary>Decodes all pieces and hands on what the sieve keeps, in file order.</summary>
    /// <param name="sieve">Takes the points.</param>
    /// <param name="threads">How many threads.</param>
    /// <param name="leader">Counts points and those left out; also holds what was read before the pieces began.</param>
    public void Run(IPointSieve sieve, int threads, BlockWriter leader)
    {
        Lock reading = new();
        object turn = new();
        int read = 0, passed = 0;
        bool ended = false;
        Exception? wrong = null;
        leader.HandOver();
        if (threads <= 1)
        {
            Work(leader);
            leader.Flush();
        }
        else
        {
            BlockWriter[] writers = [.. Enumerable.Range(0, threads).Select(_ => new BlockWriter(sieve.NewTray()))];
            Parallel.For(0, threads, new ParallelOptions { MaxDegreeOfParallelism = threads }, i => Work(writers[i]));
            foreach (BlockWriter writer in writers) leader.Count(writer);
        }
        if (wrong is not null) System.Runtime.ExceptionServices.ExceptionDispatchInfo.Throw(wrong);

        void Work(BlockWriter writer)
        {
            Chunk chunk = new(Capacity);
            while (true)
            {
                int mine;
                Exception? failed = null;
                lock (reading)
                {
                    if (ended || Volatile.Read(ref wrong) is not null) return;
                    (chunk.Length, chunk.Lines, chunk.Fault, mine) = (0, 0, null, read);
                    try
                    {
                        if (!Next(chunk))
                        {
                            ended = true;
                            return;
                        }
                    }
                    catch (Exception e)
                    {
                        (failed, ended) = (e, true);
                    }
                    read++;
                }
                try
                {
                    if (failed is null)
                    {
                        Decode(chunk, writer);
                        writer.Flush();
                    }
                }
                catch (Exception e)
                {
                    failed = e;
                }
                lock (turn)
                {
                    // A piece that was taken is in the hands of a thread that works, so its turn comes.
                    while (passed != mine) Monitor.Wait(turn);
                    try
                    {
                        if (wrong is null && failed is null)
                        {
                            Passed(chunk);
                            writer.HandOver();
                        }
                        else if (wrong is null) Volatile.Write(ref wrong, failed);
                    }
                    catch (Exception e)
                    {
                        Volatile.Write(ref wrong, e);
                    }
                    passed++;
                    Monitor.PulseAll(turn);
                }
            }
        }
    }
}
