namespace GapFlush.Numerics;

/// <summary>How a robust fit takes large residuals.</summary>
public enum RobustLoss
{
    /// <summary>Huber, k = 1.345: large residuals count in proportion, no longer in square. One answer.</summary>
    Huber,

    /// <summary>Tukey's bisquare, c = 4.685: residuals beyond 4.685 scales do not count. Depends on where it starts.</summary>
    Tukey,
}
