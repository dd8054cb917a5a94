namespace GapFlush.Decisions;

/// <summary>What can be said of a zone, a door or a build. Never "within" on incomplete data.</summary>
public enum FitVerdict
{
    /// <summary>Every limited value is there and within.</summary>
    Within,

    /// <summary>Every limited value is there, none is outside, and some are undecided.</summary>
    Undecided,

    /// <summary>Every limited value is there, and some are outside.</summary>
    Outside,

    /// <summary>A limited value is missing, or nothing is limited: no verdict is given, whatever the rest says.</summary>
    NotJudged,
}
