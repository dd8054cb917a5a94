using GapFlush.Plan;

namespace GapFlush.Hanging;

/// <summary>Where each gap and flush deviation of a door comes from, when both sides of the seam are known for themselves: how the door hangs, the door's shape, the opening's shape, or the edges.</summary>
/// <remarks>
/// <para>Frame: edges along u (surround to door), faces along n, against nominal; a door's edge widens the gap, a surround's narrows it. METHOD.md, eq. 10 to 12.</para>
/// <para>Method: a rigid displacement is fitted to the door's own edges and faces and another to the surround's (robust, where there are enough). Their difference is the hang; what each
/// leaves is that side's shape. What a definition sees beside edge and face (radius, tilt) is the rest, so that the four add up to the deviation.</para>
/// <para>No answer (null): fewer than <see cref="LeastStations"/> stations with all four places.</para>
/// </remarks>
/// <param name="Door">Displacement of the door from nominal.</param>
/// <param name="Opening">Displacement of the opening from nominal: registration, or an opening that lies elsewhere.</param>
/// <param name="Shares">One for every deviation, in station order, gap before flush.</param>
public sealed record DeviationShares(SmallDisplacement Door, SmallDisplacement Opening, IReadOnlyList<DeviationShare> Shares)
{
    /// <summary>Six movements from eight stations leave enough to see shape by.</summary>
    public const int LeastStations = 8;

    /// <summary>Lays the deviations of a door to their causes.</summary>
    public static DeviationShares? Of(Door door, IReadOnlyList<SidePlaces> places)
    {
        SidePlaces[] whole = [.. places.Where(p => p is { SurroundEdgeMm: not null, SurroundFaceMm: not null, DoorEdgeMm: not null, DoorFaceMm: not null })];
        if (whole.Length < LeastStations) return null;
        double size = Math.Sqrt(door.Stations.Average(s => Math.Pow(s.Position.DistanceTo(door.Centre), 2)));
        if (Fit(p => p.DoorEdgeMm!.Value, p => p.DoorFaceMm!.Value) is not SmallDisplacement ofDoor || Fit(p => p.SurroundEdgeMm!.Value, p => p.SurroundFaceMm!.Value) is not SmallDisplacement ofOpening) return null;
        List<DeviationShare> shares = [];
        foreach (SidePlaces p in whole)
        {
            Add(Characteristic.Gap, p.GapDeviationMm, p.GapUncertaintyMm, SeamDeviation.OfGap(p.Station, 0), p.DoorEdgeMm!.Value, p.SurroundEdgeMm!.Value);
            Add(Characteristic.Flush, p.FlushDeviationMm, p.FlushUncertaintyMm, SeamDeviation.OfFlush(p.Station, 0), p.DoorFaceMm!.Value, p.SurroundFaceMm!.Value);

            void Add(Characteristic characteristic, double? deviation, double? uncertainty, SeamDeviation row, double ofDoorSide, double ofSurround)
            {
                if (deviation is not double value) return;
                (double moved, double opening) = (row.Explained(ofDoor), row.Explained(ofOpening));
                shares.Add(new(p.Station.Name, characteristic, value, moved - opening, ofDoorSide - moved, opening - ofSurround, value - (ofDoorSide - ofSurround), uncertainty));
            }
        }
        return new(ofDoor, ofOpening, shares);

        SmallDisplacement? Fit(Func<SidePlaces, double> edge, Func<SidePlaces, double> face)
        {
            SeamDeviation[] all = [.. whole.SelectMany(p => (SeamDeviation[])[SeamDeviation.OfGap(p.Station, edge(p)), SeamDeviation.OfFlush(p.Station, face(p))])];
            return (DoorDisplacement.FitRobust(all, door.Centre, size) ?? DoorDisplacement.Fit(all, door.Centre, size))?.Displacement;
        }
    }
}
