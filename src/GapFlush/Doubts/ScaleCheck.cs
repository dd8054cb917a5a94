using GapFlush.Measurements;
using GapFlush.Plan;

namespace GapFlush.Doubts;

/// <summary>inch-values, decimal-comma and decimal-slip: is a whole sheet or a single value a known factor away from what it should be? METHOD.md, eq. 5.</summary>
internal static class ScaleCheck
{
    private static readonly (double Factor, string Words)[] Factors =
    [
        (1 / 25.4, "25.4 times too small"), (25.4, "25.4 times too large"), (10, "ten times too large"), (0.1, "ten times too small"),
        (100, "a hundred times too large"), (0.01, "a hundred times too small"), (1000, "a thousand times too large"), (0.001, "a thousand times too small"),
    ];

    /// <summary>Whole sheets: most values of a characteristic stand to their targets as one of the factors. Marked readings are left out of later fits.</summary>
    public static IEnumerable<Doubt> Sheets(CaseFile file)
    {
        foreach (DoorSheet sheet in file.Sheets)
        {
            foreach (Characteristic what in Read)
            {
                // A target near zero has no ratio. 0.6 to 1.6 times keeps the factors 1/25.4 and 1/10 apart and leaves room for a door 1.5 mm out of a gap of 4.
                SheetPoint[] points = [.. sheet.Sound(what).Where(p => Math.Abs(p.Target!.Value) >= 1)];
                if (points.Length < 4) continue;
                foreach ((double factor, string words) in Factors)
                {
                    SheetPoint[] hit = [.. points.Where(p => p.Value / p.Target!.Value / factor is > 0.6 and < 1.6)];
                    if (hit.Length < 0.6 * points.Length) continue;
                    SheetPoint typical = hit.OrderBy(p => p.Value / p.Target!.Value).ElementAt(hit.Length / 2);
                    bool inch = factor is 25.4 or 1 / 25.4, comma = factor > 1 && !inch && hit.All(p => p.Reading.WrittenDecimals == 0);
                    sheet.SetAside(hit);
                    Reading first = hit[0].Reading;
                    string seen = Invariant($"{hit.Length} of {points.Length} {what.Words} readings of {sheet.Door.Code} are about {words} for their nominal value, such as {typical.Reading.WrittenValue} {typical.Reading.WrittenUnit} at station {typical.Station.Name} against a nominal {typical.Target:0.##} mm");
                    yield return inch
                        ? new(DoubtKinds.InchValues, sheet.Door.Code, [], seen + (factor < 1 ? "; in inches they would fit." : "; in mm they would fit."),
                            $"Ask in which unit they were read and write it into column unit; readings without a nominal to go by, such as flush, may have the same fault.", first.Source, first.Line)
                        : new(comma ? DoubtKinds.DecimalComma : DoubtKinds.DecimalSlip, sheet.Door.Code, [], seen + (comma ? ", and none has a decimal mark." : "."),
                            comma ? "See whether the decimal comma was lost on the way into the file." : "Ask in which unit they were read and where the decimal mark belongs.", first.Source, first.Line);
                    break;
                }
            }
        }
    }

    /// <summary>Single values, against what the rest of the sheet leads one to expect.</summary>
    public static IEnumerable<Doubt> Singles(DoorSheet sheet, SeamFit? fit)
    {
        foreach (Characteristic what in Read)
        {
            Expectation? expectation = Expectation.Of(sheet, what, fit);
            SheetPoint[] points = [.. sheet.Sound(what)];
            int decimals = points.Length == 0 ? 0 : points.GroupBy(p => p.Reading.WrittenDecimals).MaxBy(g => g.Count())!.Key;
            List<SheetPoint> marked = [];
            foreach (SheetPoint p in points)
            {
                double width = p.Width ?? 2, expected = expectation?.Of(p) ?? p.Target!.Value;
                double scatter = expectation?.Scatter ?? width / 4;
                double off = p.Value - expected;
                if (LostComma(p, expected, scatter, decimals) is Doubt lost)
                {
                    marked.Add(p);
                    yield return lost;
                    continue;
                }
                // Local shape reaches perhaps half the tolerance; what is out by more than all of it, and right after moving the mark, is no shape.
                if (Math.Abs(off) <= Math.Max(width, 8 * scatter)) continue;
                (double Factor, string Words, double Left)[] fitting =
                    [.. Factors.Select(f => (f.Factor, f.Words, Left: Math.Abs(p.Value / f.Factor - expected) - Math.Pow(10, -p.Reading.WrittenDecimals) / f.Factor / 2)).Where(f => f.Left <= Math.Max(4 * scatter, 0.1)).OrderBy(f => f.Left)];
                if (fitting.Length == 0) continue;
                (double factor, string words, _) = fitting[0];
                marked.Add(p);
                bool inch = factor is 25.4 or 1 / 25.4, comma = !inch && factor > 10 && p.Reading.WrittenDecimals == 0 && decimals > 0;
                yield return new(inch ? DoubtKinds.InchValues : comma ? DoubtKinds.DecimalComma : DoubtKinds.DecimalSlip, sheet.Door.Code, [p.Station.Name],
                    Invariant($"The {what.Words} of {sheet.Door.Code} station {p.Station.Name} reads {p.Reading.WrittenValue} {p.Reading.WrittenUnit}; its neighbours lead one to expect {Words.Mm(expected)}, so it looks {words}."),
                    inch ? "Ask in which unit it was read; correct the unit or read it again." : comma ? "See whether a decimal comma was lost; correct it or read it again." : "See where the decimal mark belongs; correct it or read it again.",
                    p.Reading.Source, p.Reading.Line);
            }
            sheet.SetAside(marked);
        }
    }

    private static IReadOnlyList<Characteristic> Read { get; } = [.. Characteristic.All.Where(c => c.IsRead)];

    /// <summary>"3,62" in a comma file whose rows end in a blank note: value 3, note 62.</summary>
    private static Doubt? LostComma(SheetPoint p, double expected, double scatter, int decimals)
    {
        Reading r = p.Reading;
        if (decimals == 0 || r.WrittenDecimals != 0 || r.WrittenUnit != "mm" || r.Note is not { Length: 1 or 2 or 3 } note || !note.All(char.IsAsciiDigit)) return null;
        double mended = Math.CopySign(Math.Abs(r.Value) + int.Parse(note, System.Globalization.CultureInfo.InvariantCulture) / Math.Pow(10, note.Length), r.WrittenValue.StartsWith('-') ? -1 : 1);
        if (Math.Abs(mended - p.ThermalMm - expected) > Math.Max(4 * scatter, 0.1)) return null;
        return new(DoubtKinds.DecimalComma, r.Door, [r.Station], Invariant($"The {p.Characteristic.Words} of {r.Door} station {r.Station} reads {r.WrittenValue} and its note {note}; {mended} would be what its neighbours lead one to expect ({Words.Mm(expected)})."),
            "See whether a decimal comma split the value in two; correct it or read it again.", r.Source, r.Line);
    }
}
