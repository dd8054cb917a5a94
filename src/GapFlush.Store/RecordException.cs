namespace GapFlush.Store;

/// <summary>The record cannot do what was asked: the message says why and what to do, in words for the user. Nothing was changed unless it says so.</summary>
public sealed class RecordException : Exception
{
    /// <summary>Says what is wrong.</summary>
    public RecordException(string message)
        : base(message)
    {
    }

    /// <summary>Says what is wrong, and what the database said.</summary>
    public RecordException(string message, Exception inner)
        : base(message, inner)
    {
    }
}
