namespace GapFlush.Drainage;

/// <summary>Water that stands or runs over beside a seal that presses too little.</summary>
/// <param name="Door">Door.</param>
/// <param name="Station">Station.</param>
/// <param name="Channel">Channel.</param>
/// <param name="Water">What the water does there, in words: "pond of 4.0 mL, 3.1 mm deep at point 7".</param>
/// <param name="IsOverflow">True where the water runs over the lip, false where it only stands.</param>
/// <param name="CompressionPercent">Compression of the seal there, per cent; null where it is not known.</param>
/// <param name="LeastPercent">Least compression allowed there, per cent; null where none is given.</param>
public sealed record IngressRisk(string Door, string Station, string Channel, string Water, bool IsOverflow, double? CompressionPercent, double? LeastPercent)
{
    /// <summary>False where the compression or its least is not known, so that nothing can be said.</summary>
    public bool IsKnown => CompressionPercent is not null && LeastPercent is not null;

    /// <summary>One sentence.</summary>
    public string Sentence => CompressionPercent is not double now ? $"{Water} lies beside station {Station} of {Door}, whose seal compression is not known."
        : LeastPercent is not double least ? Invariant($"{Water} lies beside station {Station} of {Door}, whose seal is compressed {now:0.#} %; no least compression is given.")
        : Invariant($"{Water} lies beside station {Station} of {Door}, whose seal is compressed {now:0.#} %, least {least:0.#} %: ingress risk.");
}
