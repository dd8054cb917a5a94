using GapFlush.Drainage;
using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Drains;

/// <summary>The attitude chart: pitch by roll, where a channel stays dry, where water stands and how deep, which outlets it drains to, the plan's attitudes marked.</summary>
public static class AttitudeChart
{
    private const double Width = 180, Left = 22, Top = 17, PlotWidth = 118, PlotHeight = 84, Text = 2.5;

    /// <summary>Draws the chart; null where the channel has nothing to show.</summary>
    /// <param name="channel">The channel.</param>
    public static Sheet? Draw(ChannelResult channel)
    {
        if (channel.Place is not (FloorNetwork network, int index)) return null;
        AttitudeBox box = new(channel.Box.PitchMinDeg - 1, channel.Box.PitchMaxDeg + 1, channel.Box.RollMinDeg - 1, channel.Box.RollMaxDeg + 1);
        AttitudeMap map = AttitudeMap.Of(network, index, box);
        double limit = channel.Attitudes[0].PondLimits?.Upper ?? double.PositiveInfinity;
        string own = channel.Channel.Name + "/";
        int rows = map.PitchesDeg.Count, columns = map.RollsDeg.Count;
        double cellWidth = PlotWidth / columns, cellHeight = PlotHeight / rows;
        // A cell stands for its middle, so the outer cells reach half a cell beyond the box: scale on the middles.
        double X(double roll) => Left + cellWidth / 2 + (roll - box.RollMinDeg) / (box.RollMaxDeg - box.RollMinDeg) * (PlotWidth - cellWidth);
        double Y(double pitch) => Top + PlotHeight - cellHeight / 2 - (pitch - box.PitchMinDeg) / (box.PitchMaxDeg - box.PitchMinDeg) * (PlotHeight - cellHeight);

        List<Shape> shapes =
        [
            new Lettering(new(Left, 6), $"{channel.Channel.Name}: where it drains, where water stands", 3.5, Weight.Semibold),
            new Lettering(new(Left, 12), TextMeasure.Fit(Worst(channel), Width - Left - 4, Text), Text, Ink: Palette.Grey),
        ];
        List<Shape> water = [];
        for (int i = 0; i < rows; i++)
        {
            for (int k = 0; k < columns;)
            {
                int kind = Kind(map.Cells[i][k]), start = k;
                while (k < columns && Kind(map.Cells[i][k]) == kind) k++;
                if (kind > 0)
                    water.Add(new Trail([new(Left + start * cellWidth, Y(map.PitchesDeg[i]) - cellHeight / 2), new(Left + k * cellWidth, Y(map.PitchesDeg[i]) - cellHeight / 2),
                        new(Left + k * cellWidth, Y(map.PitchesDeg[i]) + cellHeight / 2), new(Left + start * cellWidth, Y(map.PitchesDeg[i]) + cellHeight / 2)], null, Palette.Wash, Closed: true,
                        Hatch: kind == 1 ? new(Palette.Blue, 1.6, 0, 0.2) : new(Palette.Red, 1.1, 45, 0.35)));
            }
        }
        shapes.Add(new Group("water", "Attitudes in which water stands", water));
        shapes.Add(new Group("parts", "Lines at which the outlets change", [.. Borders()]));
        shapes.Add(Trail.Box(Left, Top, PlotWidth, PlotHeight, new(Palette.Black, 0.35)));
        foreach (double roll in Ticks(box.RollMinDeg, box.RollMaxDeg))
        {
            shapes.Add(Trail.Line(X(roll), Top + PlotHeight, X(roll), Top + PlotHeight + 1.2, new(Palette.Black, 0.25)));
            shapes.Add(new Lettering(new(X(roll), Top + PlotHeight + 5), Invariant($"{roll:0.##}"), Text, Anchor: Anchor.Middle));
        }
        foreach (double pitch in Ticks(box.PitchMinDeg, box.PitchMaxDeg))
        {
            shapes.Add(Trail.Line(Left - 1.2, Y(pitch), Left, Y(pitch), new(Palette.Black, 0.25)));
            shapes.Add(new Lettering(new(Left - 2.2, Y(pitch) + 1.2), Invariant($"{pitch:0.##}"), Text, Anchor: Anchor.End));
        }
        shapes.Add(new Lettering(new(Left + PlotWidth / 2, Top + PlotHeight + 10), "roll, degrees: starboard wing down to the right", Text, Anchor: Anchor.Middle));
        shapes.Add(new Lettering(new(7, Top + PlotHeight / 2), "pitch, degrees: nose up upwards", Text, Anchor: Anchor.Middle, TurnDeg: -90));

        List<Shape> marks = [];
        for (int i = 0; i < channel.Attitudes.Count; i++)
        {
            ChannelInAttitude at = channel.Attitudes[i];
            double x = X(at.Attitude.RollDeg), y = Y(at.Attitude.PitchDeg);
            marks.Add(new Disc(new(x, y), 2.4, new(FallStrip.Colour(at.Verdict), 0.5), Palette.White));
            marks.Add(new Lettering(new(x, y + 1.2), Invariant($"{i + 1}"), Text, Weight.Semibold, Anchor.Middle));
        }
        shapes.Add(new Group("outlets", "Which outlets the channel drains to", [.. Names()]));
        shapes.Add(new Group("attitudes", "The plan's attitudes", marks));
        double line = Top + 3, side = Left + PlotWidth + 5;
        void Say(double x, double room, string text, Ink? ink = null)
        {
            foreach (string part in TextMeasure.Wrap(text, room, Text))
            {
                shapes.Add(new Lettering(new(x, line), part, Text, Ink: ink));
                line += 4.2;
            }
        }

        Say(side, Width - side - 2, "White: dry.");
        Say(side, Width - side - 2, double.IsInfinity(limit) ? "Level lines, blue: water stands." : Invariant($"Level lines, blue: water stands, to {limit:0.##} mm."));
        if (!double.IsInfinity(limit)) Say(side, Width - side - 2, "Slanting lines, red: deeper than the limit.");
        Say(side, Width - side - 2, "Dashed: here the outlets change.");
        Say(side, Width - side - 2, "Geometry only: a water test decides.", Palette.Grey);
        line = Math.Max(line, Top + PlotHeight + 17);
        for (int i = 0; i < channel.Attitudes.Count; i++)
        {
            ChannelInAttitude at = channel.Attitudes[i];
            Say(Left, Width - Left - 4, Invariant($"{i + 1}  {at.Attitude.Name}: {FallStrip.Mark(at.Verdict)} {FallStrip.Word(at.Verdict)}{(at.Water.PondDepthMm is > 0 and double depth ? Invariant($", water {depth:0.0} mm deep") : ", dry")}{(at.Water.PondVolumeMl is > 0 and double ml ? Invariant($", {ml:0.0} mL") : "")}"),
                FallStrip.Colour(at.Verdict));
        }
        return new(Width, line, $"Attitude chart {channel.Channel.Name}", $"Pitch by roll: where channel {channel.Channel.Name} stays dry and where water stands. {Worst(channel)}", shapes);

        // Each set of outlets is named once, near the left edge, half way up the tallest stretch of it there.
        IEnumerable<Shape> Names()
        {
            const int column = 2;
            for (int i = 0; i < rows;)
            {
                int start = i;
                string set = Outlets(map.Cells[i][Math.Min(column, columns - 1)]);
                while (i < rows && Outlets(map.Cells[i][Math.Min(column, columns - 1)]) == set) i++;
                if ((i - start) * cellHeight < 4.5) continue;
                double low = Y(map.PitchesDeg[start]) + cellHeight / 2, high = Y(map.PitchesDeg[i - 1]) - cellHeight / 2;
                // Half way up, or the nearest place in the stretch that hides no mark.
                IEnumerable<Lettering> tried = Enumerable.Range(0, 41).Select(k => (k % 2 == 0 ? k : -k) / 2 / 40.0).Select(share =>
                    new Lettering(new(Left + 2.5, (low + high) / 2 + 1.2 + share * (low - high - 4.5)), TextMeasure.Fit($"drains to {set}", PlotWidth - 5, Text), Text));
                Lettering? name = tried.FirstOrDefault(t => channel.Attitudes.All(a => !t.Box.Grow(3).Contains(new Place(X(a.Attitude.RollDeg), Y(a.Attitude.PitchDeg)))));
                if (name is null) continue;
                Box room = name.Box.Grow(0.8);
                yield return Trail.Box(room.Left, room.Top, room.Width, room.Height, null, Palette.White);
                yield return name;
            }
        }

        string Outlets(AttitudeCell cell) => cell.Outlets.Count == 0 ? "no outlet" : string.Join(" and ", cell.Outlets.Order(StringComparer.Ordinal).Select(o => o.StartsWith(own, StringComparison.Ordinal) ? o[own.Length..] : o));

        int Kind(AttitudeCell cell) => cell.DepthMm < 0.01 ? 0 : cell.DepthMm <= limit ? 1 : 2;

        IEnumerable<Shape> Borders()
        {
            Stroke dashed = new(Palette.Black, 0.25, [1, 0.8]);
            for (int i = 0; i < rows; i++)
            {
                for (int k = 0; k < columns; k++)
                {
                    double right = Left + (k + 1) * cellWidth, top = Y(map.PitchesDeg[i]) - cellHeight / 2;
                    if (k + 1 < columns && Outlets(map.Cells[i][k]) != Outlets(map.Cells[i][k + 1])) yield return Trail.Line(right, top, right, top + cellHeight, dashed);
                    if (i + 1 < rows && Outlets(map.Cells[i][k]) != Outlets(map.Cells[i + 1][k])) yield return Trail.Line(Left + k * cellWidth, top, right, top, dashed);
                }
            }
        }
    }

    private static string Worst(ChannelResult channel) => channel.WorstDepth is not WorstPond worst ? "In some attitude nothing known holds the water."
        : worst.Value < 0.01 ? "No water stands in any attitude between the plan's."
        : Invariant($"Worst between the plan's attitudes: {worst.Value:0.0} mm at pitch {worst.PitchDeg:0.0}, roll {worst.RollDeg:0.0} degrees{(channel.WorstVolume is WorstPond most ? Invariant($"; at most {most.Value:0.0} mL") : "")}.");

    private static IEnumerable<double> Ticks(double low, double high)
    {
        double step = high - low > 24 ? 5 : high - low > 12 ? 2 : 1;
        for (double at = Math.Ceiling(low / step) * step; at <= high + 1e-9; at += step) yield return at;
    }
}
