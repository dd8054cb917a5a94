namespace GapFlush.Demo;

/// <summary>How the builds of the demo are made. The defaults make the demo itself.</summary>
public sealed record DemoOptions
{
    /// <summary>Scale of the hanging error of the doors: 1 as in the shop, 0 for doors hung exactly.</summary>
    public double HangScale { get; init; } = 1;

    /// <summary>Scale of the smooth shape error of moulds and parts: 1 as in the shop, 0 for perfect parts.</summary>
    public double ShapeScale { get; init; } = 1;

    /// <summary>Scale of the errors of reading: 1 as the gauge certificates say, 0 for perfect gauges (readings are still rounded to the gauge's step).</summary>
    public double NoiseScale { get; init; } = 1;

    /// <summary>Whether the later mould revisions differ from the earlier ones as planted; otherwise all moulds of a door are alike.</summary>
    public bool MouldShift { get; init; } = true;

    /// <summary>Whether one door in ten or so carries a local bulge. Bulges and mould shifts are the only shape errors that have a share of rigid movement in them.</summary>
    public bool LocalBulges { get; init; } = true;

    /// <summary>Share of the certificate's variance that is one error common to all readings of a gauge on a build: 0 (each reading its own error) to 1.</summary>
    public double CommonGaugeShare { get; init; }

    /// <summary>How often every tenth station is read; 1 for single readings.</summary>
    public int Repeats { get; init; } = 1;

    /// <summary>Share of the certificate's standard uncertainty that shows between repeats of one reading; the rest stays.</summary>
    public double RepeatabilityShare { get; init; } = 0.5;

    /// <summary>Stage that the readings are taken in: <c>trial-fit</c> or <c>final</c>.</summary>
    public string Stage { get; init; } = "trial-fit";
}
