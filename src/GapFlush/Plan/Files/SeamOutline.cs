using GapFlush.Geometry;

namespace GapFlush.Plan.Files;

/// <summary>Closes the stations of a door to an outline, finds what is wrong with their order, and tells which way u points.</summary>
/// <remarks>
/// <para>Frame: the order of the rows is the order round the seam; the last station joins the first. A <i>side</i> is the straight line from a station to the next.</para>
/// <para>Order: a station whose tangent points against both its sides has its tangent reversed; a side that both its tangents point against joins stations in the
/// wrong order. Two sides cross where they do so seen along the mean of their four normals and are also close to one another there; so a door that wraps round a
/// narrow fuselage, whose far side lies behind its near side in any one plane, is not taken for a crossing.</para>
/// <para>Inside: the tangent turns through 2π, less the curvature enclosed, on the way round; anti-clockwise as seen against n when the sum is positive, and then
/// n × t points into the outline. The turn from one station to the next is measured after carrying the first tangent over to the second normal by the smallest
/// rotation, so the sum is right on a flat door, on a barrel and on a dome alike (Gauss-Bonnet), and needs no best plane.</para>
/// <para>Accuracy: exact signs; it fails only for a door that encloses more than half a sphere, or has a single turn of nearly half a circle between two stations.</para>
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
        if (RefuseSamePlaces(rows) || RefuseNormals(rows)) return null;
        Vector3[] sides = [.. rows.Select((r, i) => (rows[Next(i, rows.Count)].Position - r.Position).ToUnit())];
        if (RefuseReversedTangents(rows, sides) || RefuseBackwardSides(rows, sides) || RefuseCrossings(rows)) return null;
        double turn = TotalTurn(rows);
        if (Math.Abs(turn) is not (> Math.PI and < 3 * Math.PI))
        {
            rows[0].Row.Refuse("station", $"stations that go once round door {rows[0].Door}",
                "Look at the order of the rows and at the tangents; the outline must close without crossing itself.", Invariant($"tangents that turn through {turn * 180 / Math.PI:0} degrees in all"));
            return null;
        }
        return Finish(rows, Math.Sign(turn));
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

    private static bool RefuseSamePlaces(IReadOnlyList<StationRow> rows)
    {
        bool any = false;
        for (int j = 1; j < rows.Count; j++)
        {
            StationRow? same = rows.Take(j).FirstOrDefault(r => r.Position.DistanceTo(rows[j].Position) < SamePlaceMm);
            if (same is null) continue;
            any = true;
            bool closing = j == rows.Count - 1 && same == rows[0];
            rows[j].Row.Refuse("x,y,z", $"a place of its own for station {rows[j].Name} of door {rows[j].Door}",
                closing ? Invariant($"It repeats the first station (line {same.Row.Line}); take it out, the outline closes by itself.") : Invariant($"Station {same.Name} on line {same.Row.Line} stands there; correct or take out one of the two."),
                Invariant($"{rows[j].Position.X}, {rows[j].Position.Y}, {rows[j].Position.Z}"));
        }
        return any;
    }

    private static bool RefuseNormals(IReadOnlyList<StationRow> rows)
    {
        bool any = false;
        for (int i = 0; i < rows.Count; i++)
        {
            Vector3 n = rows[i].Normal;
            StationRow before = rows[Before(i, rows.Count)], next = rows[Next(i, rows.Count)];
            if (n.Dot(before.Normal) >= NormalBound || n.Dot(next.Normal) >= NormalBound) continue;
            any = true;
            rows[i].Row.Refuse("nx,ny,nz", $"a normal on the same side of the skin as at stations {before.Name} and {next.Name}",
                "Every normal points outward; reverse this one.", Invariant($"{n.X:0.####}, {n.Y:0.####}, {n.Z:0.####}"));
        }
        return any;
    }

    private static bool RefuseReversedTangents(IReadOnlyList<StationRow> rows, Vector3[] sides)
    {
        List<StationRow> reversed = [], across = [];
        for (int i = 0; i < rows.Count; i++)
        {
            Vector3 middle = sides[Before(i, rows.Count)] + sides[i];
            if (middle.Length < 0.2) continue;   // there and back again: told by the sides
            double along = rows[i].Tangent.Dot(middle);
            if (along < ReversedBound) reversed.Add(rows[i]);
            else if (Math.Abs(along) < AlongBound * middle.Length && !Mixed(i)) across.Add(rows[i]);
        }
        if (reversed.Count > rows.Count / 2 && reversed.Count > rows.Count - 3)
        {
            rows[0].Row.Refuse("tx,ty,tz", "tangents in the direction of rising order", $"All of door {rows[0].Door}'s tangents are reversed: reverse them, or reverse the order of its rows.", "tangents against the order of the rows");
            return true;
        }
        foreach (StationRow row in reversed)
            row.Row.Refuse("tx,ty,tz", "a tangent in the direction of rising order", $"The tangent of station {row.Name} points back along the seam; reverse it, or correct the order of the rows.", Shown(row.Tangent));
        foreach (StationRow row in across)
            row.Row.Refuse("tx,ty,tz", "a tangent along the seam", $"The tangent of station {row.Name} points across the seam to its neighbours; correct it, or the order of the rows.", Shown(row.Tangent));
        return reversed.Count + across.Count > 0;

        // With one side and against the other: the order is wrong, not the tangent.
        bool Mixed(int i) => rows[i].Tangent.Dot(sides[i]) * rows[i].Tangent.Dot(sides[Before(i, rows.Count)]) < -0.25;
        static string Shown(Vector3 v) => Invariant($"{v.X:0.####}, {v.Y:0.####}, {v.Z:0.####}");
    }

    private static bool RefuseBackwardSides(IReadOnlyList<StationRow> rows, Vector3[] sides)
    {
        bool any = false;
        for (int i = 0; i < rows.Count; i++)
        {
            StationRow from = rows[i], to = rows[Next(i, rows.Count)];
            if (from.Tangent.Dot(sides[i]) >= 0 || to.Tangent.Dot(sides[i]) >= 0) continue;
            any = true;
            to.Row.Refuse("station", $"stations of door {to.Door} in order round the outline", $"From {from.Name} to {to.Name} the seam runs backwards; put the rows into the order in which the seam passes them.", $"{to.Name} after {from.Name}");
        }
        return any;
    }

    private static bool RefuseCrossings(IReadOnlyList<StationRow> rows)
    {
        int count = rows.Count, crossings = 0;
        (StationRow A, StationRow B, StationRow C, StationRow D)? first = null;
        for (int i = 0; i < count; i++)
        {
            for (int j = i + 2; j < count; j++)
            {
                if (i == 0 && j == count - 1) continue;   // these two share the first station
                var pair = (A: rows[i], B: rows[i + 1], C: rows[j], D: rows[Next(j, count)]);
                if (!Cross(pair.A, pair.B, pair.C, pair.D)) continue;
                crossings++;
                first ??= pair;
            }
        }
        if (first is not { } at) return false;
        string more = crossings > 1 ? Invariant($" ({crossings} crossings in all)") : "";
        at.C.Row.Refuse("station", $"an outline of door {at.C.Door} that does not cross itself", $"Put the rows into the order in which the seam passes them, or correct a place{more}.",
            $"side {at.C.Name} to {at.D.Name} across side {at.A.Name} to {at.B.Name}");
        return true;
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
            Vector3 carried = Carried(from.Tangent, from.Normal, to.Normal);
            total += Math.Atan2(to.Normal.Dot(carried.Cross(to.Tangent)), carried.Dot(to.Tangent));
        }
        return total;
    }

    // The smallest rotation that takes one unit vector to another (Rodrigues); neighbours are never opposite, that was refused.
    private static Vector3 Carried(Vector3 v, Vector3 from, Vector3 to)
    {
        Vector3 axis = from.Cross(to), once = axis.Cross(v);
        return v + once + 1 / (1 + from.Dot(to)) * axis.Cross(once);
    }
}
