using System.Globalization;
using GapFlush.Decisions;
using GapFlush.Plan;

namespace GapFlush.Reports.Maps;

/// <summary>The words for every station that is outside, undecided or missing.</summary>
internal static class StationLabels
{
    private const int LongestLine = 22;

    /// <summary>The labels, the worst first: outside, then undecided, then missing, and by excess.</summary>
    public static IReadOnlyList<MapLabel> For(Door door, params Ribbon[] ribbons)
    {
        string[] names = StationNames.Short(door);
        List<(int Rank, double Excess, MapLabel Label)> labels = [];
        foreach (Ribbon ribbon in ribbons)
        {
            for (int i = 0; i < names.Length; i++)
            {
                if (ribbon.Row(i) is not { Verdict: Verdict.Outside or Verdict.Undecided } row) continue;
                labels.Add((row.Verdict == Verdict.Outside ? 0 : 1, -(row.Excess ?? 0), new MapLabel(Words(names[i], row), RibbonLayer.MarkPlace(ribbon, i))));
            }
            foreach ((int first, int count, string reason) in MissingRuns(ribbon, names.Length))
            {
                string places = count == 1 ? names[first] : $"{names[first]} to {names[(first + count - 1) % names.Length]}";
                labels.Add((2, -count, new MapLabel([$"{places} {Short(ribbon.Characteristic)} missing", .. Broken(reason)], RibbonLayer.MarkPlace(ribbon, (first + count / 2) % names.Length))));
            }
        }
        return [.. labels.OrderBy(l => l.Rank).ThenBy(l => l.Excess).Select(l => l.Label)];
    }

    private static string[] Words(string name, ResultRow row)
    {
        double value = row.Measurement.Value!.Value;
        Limits limits = row.Limits!;
        // The limit that matters: the one passed, or the nearer one.
        bool upper = limits.Lower is not double lower || (limits.Upper is double top && top - value < value - lower);
        double limit = upper ? limits.Upper!.Value : limits.Lower!.Value, beyond = upper ? value - limit : limit - value;
        string side = (beyond > 0) == upper ? "above" : "below";
        string decimals = row.Measurement.Characteristic.Unit == "mm" ? "0.00" : "0.0";
        string uncertainty = row.Measurement.ExpandedUncertainty is double u ? $", U {Figure(u, decimals)}" : ", U unknown";
        return
        [
            $"{name} {Short(row.Measurement.Characteristic)} {Figure(value, decimals)} {row.Measurement.Characteristic.Unit}",
            $"{ResultsFile.Word(row.Verdict)}, {Figure(Math.Abs(beyond), decimals)}",
            $"{side} {Figure(limit, decimals)}{uncertainty}",
        ];
    }

    private static string Short(Characteristic characteristic) => characteristic == Characteristic.Compression ? "seal" : characteristic.Words;

    // As many decimals as usual, and more where those would read as nothing.
    private static string Figure(double value, string decimals)
    {
        string usual = value.ToString(decimals, CultureInfo.InvariantCulture);
        return value == 0 || usual.AsSpan().IndexOfAnyInRange('1', '9') >= 0 ? usual : value.ToString(decimals + "00", CultureInfo.InvariantCulture);
    }

    private static IEnumerable<(int First, int Count, string Reason)> MissingRuns(Ribbon ribbon, int n)
    {
        bool Missing(int i) => ribbon.Row(i % n)?.Verdict == Verdict.Missing;
        string Reason(int i) => ribbon.Row(i % n)?.Reason ?? "no reading";
        int start = Enumerable.Range(0, n).FirstOrDefault(i => !(Missing(i) && Missing(i + n - 1) && Reason(i) == Reason(i + n - 1)));
        for (int i = 0; i < n;)
        {
            int at = start + i;
            if (!Missing(at))
            {
                i++;
                continue;
            }
            int count = 1;
            while (i + count < n && Missing(at + count) && Reason(at + count) == Reason(at)) count++;
            yield return (at % n, count, Reason(at));
            i += count;
        }
    }

    private static IEnumerable<string> Broken(string text)
    {
        string line = "";
        int lines = 0;
        foreach (string word in text.Split(' '))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > LongestLine)
            {
                if (++lines == 3)
                {
                    yield return line + " …";
                    yield break;
                }
                yield return line;
                line = "";
            }
            line = line.Length == 0 ? word : $"{line} {word}";
        }
        if (line.Length > 0) yield return line;
    }
}
