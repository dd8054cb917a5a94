using GapFlush.Numerics;

namespace GapFlush.Tests;

/// <summary>Runs a check over many seeded cases and names the number of the one that fails.</summary>
internal static class Cases
{
    public static void Each(int count, Action<SeededRandom> check)
    {
        for (int i = 0; i < count; i++)
        {
            try
            {
                check(new SeededRandom((ulong)i));
            }
            catch (Exception e)
            {
                throw new InvalidOperationException($"Case {i} of {count} failed; new SeededRandom({i}) repeats it. {e.Message}", e);
            }
        }
    }
}
