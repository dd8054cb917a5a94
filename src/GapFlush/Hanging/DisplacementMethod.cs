namespace GapFlush.Hanging;

/// <summary>What "explains best" means for a displacement.</summary>
public enum DisplacementMethod
{
    /// <summary>The smallest weighted sum of squared residuals.</summary>
    LeastSquares,

    /// <summary>Least squares in which readings far from all others lose their weight.</summary>
    Robust,

    /// <summary>The smallest worst residual.</summary>
    Minimax,
}
