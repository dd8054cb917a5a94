namespace GapFlush.Reference;

/// <summary>Computes the quantities of one group of a reference folder with the library's public functions.</summary>
internal interface IReferenceGroup
{
    /// <summary>Group name as it stands in the output: the stem of the file under <c>expected/</c>, the sub-folder, or the stem before <c>_expected.csv</c>.</summary>
    string Name { get; }

    /// <summary>Computes what the library can. A quantity it has no use for is left out, never guessed.</summary>
    void Compute(ReferenceFolder folder, ReferenceOutput output);
}
