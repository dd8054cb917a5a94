namespace GapFlush.Tests.Scenes;

/// <summary>What a made scan is like.</summary>
internal sealed record SceneOptions
{
    public ulong Seed { get; init; } = 1;

    public int Stations { get; init; } = 60;

    /// <summary>Standard deviation of a point, mm, each axis.</summary>
    public double Noise { get; init; } = 0.035;

    /// <summary>Distance of points, mm.</summary>
    public double Pitch { get; init; } = 0.3;

    /// <summary>How far scanner passes disagree: standard deviation of each component of a pass's own shift, mm.</summary>
    public double PassSd { get; init; }

    /// <summary>How the passes share the points.</summary>
    public PassLayout Layout { get; init; }

    /// <summary>Seal, tape, fasteners, stray and bridging points.</summary>
    public bool Clutter { get; init; }

    /// <summary>The tape lies on the surround's skin instead of the door's.</summary>
    public bool TapeOnSurround { get; init; }

    /// <summary>The door is displaced, turned and wavy.</summary>
    public bool Displaced { get; init; } = true;

    /// <summary>No pass sees into the seam from the door's side, so the surround's wall is hidden.</summary>
    public bool HideSurroundEdge { get; init; }

    /// <summary>Chance that a point of a stretch is missing.</summary>
    public double Thinning { get; init; }

    /// <summary>Only the neighbourhood of stations is scanned.</summary>
    public bool OnlyNearStations { get; init; } = true;

    /// <summary>Distance of points on skin far from the seam, mm; 0 for none.</summary>
    public double FarPitch { get; init; }

    /// <summary>How much farther than about the door that skin reaches, mm: fore and aft, and up and down.</summary>
    public (double X, double V) FarBeyond { get; init; }

    /// <summary>Nominal gap, mm.</summary>
    public double Gap { get; init; } = SeamScene.NominalGap;

    /// <summary>How far the whole door stands proud, mm.</summary>
    public double Proud { get; init; }

    /// <summary>Between which the surround's and the door's edge radii are drawn, mm; null for 0.6 to 1.6 and 0.8 to 2.4.</summary>
    public (double Low, double High)? Radii { get; init; }

    /// <summary>The same of the surround's radius alone; null for as <see cref="Radii"/>.</summary>
    public (double Low, double High)? SurroundRadii { get; init; }

    /// <summary>The same of the door's radius alone.</summary>
    public (double Low, double High)? DoorRadii { get; init; }

    /// <summary>By how much more than the barrel each skin bends across the seam, 1/mm.</summary>
    public (double Surround, double Door) Bends { get; init; }

    /// <summary>How deep below their start walls are seen at most, mm.</summary>
    public double SeenWallMm { get; init; } = double.PositiveInfinity;

    /// <summary>The seal's bulb lies against the door's return, four millimetres down, instead of in the middle of the seam.</summary>
    public bool SealOnDoor { get; init; }

    /// <summary>Paint on the door's skin, so thick, mm, from five millimetres behind the corner on.</summary>
    public double PaintMm { get; init; }

    /// <summary>A lump on the door's edge at every station, mm towards the gap, eight millimetres long.</summary>
    public double LumpMm { get; init; }

    /// <summary>Share of points that lie anywhere within some millimetres.</summary>
    public double Outliers { get; init; }

    /// <summary>How many times noisier points are at the very edge; it falls off over a millimetre.</summary>
    public double EdgeNoise { get; init; } = 1;

    /// <summary>How far points at the very edge lie outside the part, mm; it falls off over half a millimetre.</summary>
    public double EdgeBendMm { get; init; }

    /// <summary>Noise of the double-exponential kind, with the same standard deviation.</summary>
    public bool Laplace { get; init; }

    /// <summary>Coordinates are rounded to this, mm; 0 for not at all.</summary>
    public double QuantumMm { get; init; }

    /// <summary>Distance of points along the seam, mm; null for as across it.</summary>
    public double? AlongPitch { get; init; }

    /// <summary>Two passes alone, one from either side.</summary>
    public bool TwoPasses { get; init; }

    /// <summary>How much of the usual displacement and waves the door has.</summary>
    public double DisplacedBy { get; init; } = 1;

    /// <summary>Which door: 0 a cabin door, 1 a smaller one with tight corners, 2 a round hatch.</summary>
    public int Shape { get; init; }

    /// <summary>Between which drafts are drawn, rad; null for -0.02 to 0.08 and 0 to 0.08.</summary>
    public (double Low, double High)? Drafts { get; init; }

    /// <summary>A dent in the door's edge at every station, mm: the edge stands back by so much at the station, and by a third of it three millimetres away.</summary>
    public double DentMm { get; init; }

    /// <summary>A step in the door's edge and skin eight millimetres past every station, mm.</summary>
    public double StepMm { get; init; }

    /// <summary>Over how many millimetres neighbouring points share half of their noise; 0 for noise of each point by itself.</summary>
    public double SharedNoiseMm { get; init; }

    /// <summary>Both edges chamfered.</summary>
    public bool Chamfer { get; init; }

    public static SceneOptions Clean { get; } = new() { Noise = 0.02, Pitch = 0.25 };

    public static SceneOptions Typical { get; } = new() { Noise = 0.035, Pitch = 0.3, PassSd = 0.005, Clutter = true };

    public static SceneOptions Sparse { get; } = new() { Noise = 0.08, Pitch = 0.6, PassSd = 0.005, Clutter = true };

    public static SceneOptions Hidden { get; } = Typical with { HideSurroundEdge = true };
}
