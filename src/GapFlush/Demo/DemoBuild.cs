using GapFlush.Measurements;

namespace GapFlush.Demo;

/// <summary>One aircraft of the demo: what it truly is, and the readings taken of it.</summary>
public sealed record DemoBuild
{
    /// <summary>Serial of the aircraft.</summary>
    public required string Serial { get; init; }

    /// <summary>Place in the order of building, from 1.</summary>
    public required int Sequence { get; init; }

    /// <summary>The truth, door by door in the plan's order.</summary>
    public required IReadOnlyList<DoorTruth> Doors { get; init; }

    /// <summary>The rows of the readings file.</summary>
    public required IReadOnlyList<SheetRow> Rows { get; init; }

    /// <summary>What was planted in the readings; empty for a clean build.</summary>
    public IReadOnlyList<PlantedFault> Faults { get; init; } = [];

    /// <summary>Name of the readings file.</summary>
    public string FileName => Serial + ".csv";

    /// <summary>The rows as a reader would hand them on.</summary>
    public IReadOnlyList<Reading> Readings => Sheet.Readings(Rows, FileName);

    /// <summary>The text of the readings file, plainly spelt.</summary>
    public string Text => Sheet.Text(Rows);

    /// <summary>The truth of a door.</summary>
    /// <exception cref="InvalidOperationException">The demo has no such door.</exception>
    public DoorTruth Truth(string door) => Doors.First(d => d.Door.Code == door);
}
