using System.Text;

namespace GapFlush.Demo;

/// <summary>The page that explains the demo folder.</summary>
internal static class DemoReadme
{
    public static string Text(ulong seed)
    {
        StringBuilder text = new();
        text.Append(Invariant($$"""
            # Dabchick D4: an example to try GapFlush on

            The Dabchick D4 is a four-seat composite touring floatplane of Saltmarsh Aircraft Works. Aircraft, works, people and every number here are
            made up; nothing of it is approved data for any aircraft. Doors: P1 (port cabin), S1 (starboard cabin, the mirror part), B1 (baggage, port).
            Stations run clockwise as seen from outside, from the lower forward corner, so the zones of S1 come in another order than those of P1.
            Written by `gapflush demo` from seed {{seed}}: the same seed gives the same bytes.

            | here | holds |
            |---|---|
            | `plan.json` and the `.csv` files beside it | the fit plan: this folder itself |
            | `readings/` | one file of gauge readings for each of the {{Dabchick.BuildCount}} builds, trial fit: bare, seal removed, latched |
            | `studies/gauge-study.csv` | ten places, three people, three readings each, with a taper gauge and a step gauge |
            | `levels/` | measured heights of the drain channels of three builds |
            | `scans/` | a line-laser scan of one door, three lines across the seam at every station, with its targets |
            | `truth/` | what was planted: displacements, shapes, faults, mould shifts, levels, both sides of the scanned seam |

            Try, in this folder (`out` is any folder that does not matter):

                gapflush inspect . --build D4-017 --readings readings/D4-017.csv --levels levels/D4-017.csv --out out
                gapflush inspect . --build D4-017 --scan P1=scans/D4-017-P1.ply --targets P1=scans/D4-017-P1-targets.csv --stage trial-fit --out out
                gapflush section . --door P1 --scan scans/D4-017-P1.ply --targets scans/D4-017-P1-targets.csv --stage trial-fit --sections out
                gapflush adjust . --build D4-017 --door P1 --readings readings/D4-017.csv
                gapflush drain . --build D4-021 --levels levels/D4-021.csv
                gapflush check . --readings readings/D4-016.csv
                gapflush revisions . --readings readings/*.csv --door P1
                gapflush gauge-study . --readings studies/gauge-study.csv
                gapflush map . --door P1 --blank --out route-sheet.pdf

            What to look at

            - D4-017: the port door hangs aft and turned, a few stations are out; the starboard door is well; the baggage door is undecided at its hinge.
            - D4-021: the sill channel of S1 sags at point {{ChannelModel.SagPoint + 1}}, and beside it the seal hardly touches.
            - D4-026: the port door is turned and bulged at the header; hinges mend the one and not the other.
            - From D4-015 on the cabin doors come from mould revision C: P1 moved aft and low, turned, and stands proud at the latch; S1 sank at the middle of the
              header and did not move. From D4-021 on the baggage surround is revision B: its gap opened along the sill.

            Some files are spelt in other ways, and read all the same:


            """));
        foreach ((int sequence, (SheetSpelling _, string what)) in DemoSet.Spellings) text.Append(Invariant($"- {Dabchick.Serial(sequence)}: {what}.\n"));
        text.Append("\nFaults were planted in these, one a line in `truth/faults.csv`; every other build is clean:\n\n");
        foreach (var build in DemoSet.Faults.GroupBy(f => f.Sequence)) text.Append(Invariant($"- {Dabchick.Serial(build.Key)}: {string.Join(", ", build.Select(f => f.Kind))}.\n"));
        return text.ToString();
    }
}
