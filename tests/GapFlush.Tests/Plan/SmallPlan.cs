using GapFlush.Inputs;
using GapFlush.Plan;

namespace GapFlush.Tests.Plan;

/// <summary>The small good plan of fixtures/plans/small, and the same with a stated edit.</summary>
internal sealed class SmallPlan
{
    private readonly Dictionary<string, string> _texts = Directory.GetFiles(Fixture.At("plans", "small")).Order(StringComparer.Ordinal)
        .ToDictionary(f => Path.GetFileName(f), File.ReadAllText);

    /// <summary>The text of one file.</summary>
    public string this[string file] => _texts[file];

    /// <summary>Puts a text in place of one that must occur exactly once.</summary>
    public SmallPlan Edit(string file, string old, string by)
    {
        int at = _texts[file].IndexOf(old, StringComparison.Ordinal);
        Assert.True(at >= 0, $"the edit's text is not in {file}: {old}");
        Assert.True(_texts[file].IndexOf(old, at + 1, StringComparison.Ordinal) < 0, $"the edit's text is in {file} more than once: {old}");
        _texts[file] = _texts[file].Remove(at, old.Length).Insert(at, by);
        return this;
    }

    /// <summary>Puts a whole file in place of another, or a new one beside.</summary>
    public SmallPlan Put(string file, string text)
    {
        _texts[file] = text;
        return this;
    }

    public SmallPlan Remove(string file)
    {
        Assert.True(_texts.Remove(file), file);
        return this;
    }

    /// <summary>Every file: name and text.</summary>
    public IReadOnlyDictionary<string, string> Texts => _texts;

    public IReadOnlyList<InputFile> Files() => [.. _texts.Select(t => InputFile.FromText(t.Key, t.Value))];

    public Outcome<FitPlan> Read() => PlanReader.Read(Files());
}
