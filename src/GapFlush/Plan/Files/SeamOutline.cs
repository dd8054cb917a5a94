using GapFlush.Geometry;

namespace GapFlush.Plan.Files;

/// <summary>Closes the stations of a door to an outline, finds what is wrong with their order, and tells which way u points.</summary>
/// <remarks>
/// <para>Frame: the order of the rows is the order round the seam; the last station joins the first. A <i>side</i> is the straight line from a station to the next.</para>
/// <para>Order: a station whose tangent points against both its sides has its tangent reversed; a side that both its tangents point against joins stations in the
/// wrong order. Two sides cross where they do so seen along the mean of their four normals and are also close to one another there; so a door that wraps round a
/// narrow fuselage, whose far side lies behind its near side in any one plane, is not taken for a crossing.</para>
/// <para>Inside: the tangent turns through 2π, less the curvature enclosed, on the way round; anti-clockwise as seen against n when the sum is positive, and then
/// n × t points into the outline. The turn from one station to the next is taken in two steps, from the first tangent to the side and from the side to the second
/// tangent, each in its own tangent plane. On a cylinder and on a sphere the side deviates from the skin's own straight line by the same angle at both ends, which
/// cancels, so the sum is right on flat, barrel and dome alike (Gauss-Bonnet) and needs no best plane; and a side of the door without stations, where the seam
/// turns back by half a circle from one station to the next, does no harm.</para>
/// <para>Accuracy: exact signs; it fails only for a door that encloses about half a sphere or more.</para>
/// </remarks>
internal static class SeamOutline
{
    // A place is written to 0.01 mm or finer, and no two feeler blades go in closer than this.
    private const double SamePlaceMm = 0.01;

    // The tangent of a station lies between the directions of its two sides. Their sum s then has t . s >= 0; a reversed tangent has t . s = -(1 + cos turn), which is
    // below this bound for turns up to 127 degrees, while at two stations that have changed places on a straight side it is 0.
    private const double ReversedBound = -0.4;

    // cos 75 degrees: a tangent farther off the middle of its two sides does not run along the seam.
    private const double AlongBound = 0.26;

    // Neighbours whose normals stand more than about 100 degrees apart do not belong to one skin.
    private const double NormalBound = -0.2;

    /// <summary>The stations of the closed outline, or null where something was refused.</summary>
    public static IReadOnlyList<Station>? Close(IReadOnlyList<StationRow> rows)
    {
        List<Finding> findings = Find(rows);
        if (findings.Count == 0) return Finish(rows, Math.Sign(TotalTurn(rows)));
        if (findings[0].Exchangeable.Length > 0 && Exchange(rows, findings) is (StationRow one, StationRow other))
        {
            string lines = Invariant($"(lines {Math.Min(one.Row.Line, other.Row.Line)} and {Math.Max(one.Row.Line, other.Row.Line)})");
            findings = [findings[0] with { Remedy = $"Exchanging the rows of stations {one.Name} and {other.Name} {lines} mends it. {findings[0].Remedy}" }];
        }
        foreach (Finding f in findings) f.At.Row.Refuse(f.Column, f.Expected, f.Remedy, f.Found);
        return null;
    }

    // What is wrong, of the first kind only: the other kinds follow from it.
    private static List<Finding> Find(IReadOnlyList<StationRow> rows)
    {
        List<Finding> findings = SamePlaces(rows);
        if (findings.Count == 0) findings = Normals(rows);
        if (findings.Count == 0) findings = Crossings(rows);
        if (findings.Count > 0) return findings;
        Vector3[] sides = [.. rows.Select((r, i) => (rows[Next(i, rows.Count)].Position - r.Position).ToUnit())];
        findings = Tangents(rows, sides);
        if (findings.Count == 0) findings = BackwardSides(rows, sides);
        if (findings.Count == 0 && Math.Abs(TotalTurn(rows)) is not (> Math.PI and < 3 * Math.PI) and var turn)
        {
            findings.Add(new(rows[0], "station", $"stations that go once round door {rows[0].Door}", "Look at the order of the rows and at the tangents; the outline must close without crossing itself.",
                Invariant($"tangents that turn through {turn * 180 / Math.PI:0} degrees in all"), []));
        }
        return findings;
    }

    // The one exchange of two rows that leaves nothing to find; null where there is none, or more than one.
    private static (StationRow, StationRow)? Exchange(IReadOnlyList<StationRow> rows, List<Finding> findings)
    {
        HashSet<(int, int)> cures = [];
        StationRow[] tried = [.. rows];
        foreach (int i in findings[0].Exchangeable.Select(r => Array.IndexOf(tried, r)).ToArray())
        {
            for (int j = 0; j < tried.Length; j++)
            {
                if (i == j) continue;
                (tried[i], tried[j]) = (tried[j], tried[i]);
                if (Find(tried).Count == 0) cures.Add((Math.Min(i, j), Math.Max(i, j)));
                (tried[i], tried[j]) = (tried[j], tried[i]);
            }
        }
        return cures.Count == 1 ? (rows[cures.Single().Item1], rows[cures.Single().Item2]) : null;
    }

    private static List<Station> Finish(IReadOnlyList<StationRow> rows, int sign)
    {
        List<Station> stations = [];
        double along = 0;
        foreach (StationRow row in rows)
        {
            if (stations.Count > 0) along += row.Position.DistanceTo(stations[^1].Position);
            stations.Add(new(row.Name, row.Zone, row.Position, row.Normal, row.Tangent, (sign * row.Normal.Cross(row.Tangent)).ToUnit(), stations.Count, along));
        }
        return stations;
    }

    private static int Next(int i, int count) => i + 1 < count ? i + 1 : 0;

    private static int Before(int i, int count) => i > 0 ? i - 1 : count - 1;

    private static List<Finding> SamePlaces(IReadOnlyList<StationRow> rows)
    {
        List<Finding> findings = [];
        for (int j = 1; j < rows.Count; j++)
        {
            StationRow at = rows[j];
            StationRow? same = rows.Take(j).FirstOrDefault(r => r.Position.DistanceTo(at.Position) < SamePlaceMm);
            if (same is null) continue;
            string remedy = j == rows.Count - 1 && same == rows[0]
                ? Invariant($"It repeats the first station (line {same.Row.Line}); take it out, the outline closes by itself.")
                : Invariant($"Station {same.Name} on line {same.Row.Line} stands there; correct or take out one of the two.");
            findings.Add(new(at, "x,y,z", $"a place of its own for station {at.Name} of door {at.Door}", remedy, Invariant($"{at.Position.X}, {at.Position.Y}, {at.Position.Z}"), []));
        }
        return findings;
    }

    private static List<Finding> Normals(IReadOnlyList<StationRow> rows)
    {
        List<Finding> findings = [];
        for (int i = 0; i < rows.Count; i++)
        {
            StationRow before = rows[Before(i, rows.Count)], next = rows[Next(i, rows.Count)];
            if (rows[i].Normal.Dot(before.Normal) >= NormalBound || rows[i].Normal.Dot(next.Normal) >= NormalBound) continue;
            findings.Add(new(rows[i], "nx,ny,nz", $"a normal on the same side of the skin as at stations {before.Name} and {next.Name}", "Every normal points outward; reverse this one.", Shown(rows[i].Normal), []));
        }
        return findings;
    }

    private static List<Finding> Tangents(IReadOnlyList<StationRow> rows, Vector3[] sides)
    {
        List<Finding> reversed = [], across = [];
        for (int i = 0; i < rows.Count; i++)
        {
            StationRow at = rows[i];
            Vector3 before = sides[Before(i, rows.Count)], middle = before + sides[i];
            if (middle.Length < 0.2) continue;   // there and back again: told by the sides
            double along = at.Tangent.Dot(middle);
            if (along < ReversedBound)
            {
                reversed.Add(new(at, "tx,ty,tz", "a tangent in the direction of rising order", $"The tangent of station {at.Name} points back along the seam; reverse it, or correct the order of the rows.", Shown(at.Tangent), []));
            }
            else if (Math.Abs(along) < AlongBound * middle.Length && at.Tangent.Dot(before) * at.Tangent.Dot(sides[i]) > -0.25)   // with one side and against the other: the order is wrong
            {
                across.Add(new(at, "tx,ty,tz", "a tangent along the seam", $"The tangent of station {at.Name} points across the seam to its neighbours; correct it, or the order of the rows.", Shown(at.Tangent), []));
            }
        }
        if (reversed.Count == rows.Count)
            return [new(rows[0], "tx,ty,tz", "tangents in the direction of rising order", $"All of door {rows[0].Door} is reversed: reverse its tangents, or the order of its rows.", "tangents against the order of the rows", [])];
        return [.. reversed, .. across];
    }

    private static List<Finding> BackwardSides(IReadOnlyList<StationRow> rows, Vector3[] sides)
    {
        List<Finding> findings = [];
        for (int i = 0; i < rows.Count; i++)
        {
            StationRow from = rows[i], to = rows[Next(i, rows.Count)];
            if (from.Tangent.Dot(sides[i]) >= 0 || to.Tangent.Dot(sides[i]) >= 0) continue;
            findings.Add(new(to, "station", $"stations of door {to.Door} in order round the outline", $"From {from.Name} to {to.Name} the seam runs backwards; put the rows into the order in which the seam passes them.",
                $"{to.Name} after {from.Name}", [from, to]));
        }
        return findings;
    }

    private static List<Finding> Crossings(IReadOnlyList<StationRow> rows)
    {
        int count = rows.Count, crossings = 0;
        (StationRow A, StationRow B, StationRow C, StationRow D)? first = null;
        Vector3[] middles = new Vector3[count];
        double[] reach = new double[count];
        for (int i = 0; i < count; i++)
        {
            Vector3 half = 0.5 * (rows[Next(i, count)].Position - rows[i].Position);
            (middles[i], reach[i]) = ((rows[i].Position + half).FromOrigin, half.Length);
        }
        for (int i = 0; i < count; i++)
        {
            for (int j = i + 2; j < count; j++)
            {
                if (i == 0 && j == count - 1) continue;   // these two share the first station
                // Sides that cross are no farther apart, end to end, than Cross allows; nearly all pairs are.
                double near = 1.5 * (reach[i] + reach[j]);
                Vector3 apart = middles[i] - middles[j];
                if (apart.Dot(apart) > near * near) continue;
                var pair = (A: rows[i], B: rows[i + 1], C: rows[j], D: rows[Next(j, count)]);
                if (!Cross(pair.A, pair.B, pair.C, pair.D)) continue;
                crossings++;
                first ??= pair;
            }
        }
        if (first is not { } at) return [];
        string more = crossings > 1 ? Invariant($" ({crossings} crossings in all)") : "";
        return [new(at.C, "station", $"an outline of door {at.C.Door} that does not cross itself", $"Put the rows into the order in which the seam passes them, or correct a place{more}.",
            $"side {at.C.Name} to {at.D.Name} across side {at.A.Name} to {at.B.Name}", [at.A, at.B, at.C, at.D])];
    }

    private static bool Cross(StationRow a, StationRow b, StationRow c, StationRow d)
    {
        Vector3 normal = a.Normal + b.Normal + c.Normal + d.Normal;
        if (normal.Length < 1) return false;   // opposite sides of the fuselage
        normal = normal.ToUnit();
        Vector3 r = b.Position - a.Position, s = d.Position - c.Position, w = c.Position - a.Position;
        double area = normal.Dot(r.Cross(s));
        // Nearly parallel sides (0.001 rad) meet nowhere that could be told from rounding.
        if (Math.Abs(area) <= 1e-3 * r.Length * s.Length) return false;
        double p = normal.Dot(w.Cross(s)) / area, q = normal.Dot(w.Cross(r)) / area;
        if (p is <= 0 or >= 1 || q is <= 0 or >= 1) return false;
        double apart = Math.Abs(normal.Dot(w + q * s - p * r));
        return apart <= 0.5 * Math.Min(r.Length, s.Length);
    }

    private static double TotalTurn(IReadOnlyList<StationRow> rows)
    {
        double total = 0;
        for (int i = 0; i < rows.Count; i++)
        {
            StationRow from = rows[i], to = rows[Next(i, rows.Count)];
            Vector3 side = to.Position - from.Position;
            total += Turn(from.Tangent, side, from.Normal) + Turn(side, to.Tangent, to.Normal);
        }
        return total;

        // As one of the two lies in the plane square to n, a part of the other along n changes neither product.
        static double Turn(Vector3 a, Vector3 b, Vector3 n) => Math.Atan2(n.Dot(a.Cross(b)), a.Dot(b));
    }

    private static string Shown(Vector3 v) => Invariant($"{v.X:0.####}, {v.Y:0.####}, {v.Z:0.####}");

    // Exchangeable: the stations of which one may have changed places with another.
    private sealed record Finding(StationRow At, string Column, string Expected, string Remedy, string Found, StationRow[] Exchangeable);
}
