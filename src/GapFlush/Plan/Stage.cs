namespace GapFlush.Plan;

/// <summary>A named measuring state. Each state word is free text of the plan, null where it says nothing.</summary>
/// <param name="Name">Name of the stage.</param>
/// <param name="Paint">Paint state; the word that <see cref="PaintAllowance"/> refers to.</param>
/// <param name="Seal">Seal state, such as fitted or removed.</param>
/// <param name="Latch">Latch state, such as latched or free.</param>
/// <param name="Support">How the aircraft stands, such as on jacks or on wheels.</param>
public sealed record Stage(string Name, string? Paint, string? Seal, string? Latch, string? Support);
