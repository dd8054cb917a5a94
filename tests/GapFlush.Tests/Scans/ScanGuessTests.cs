using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Numerics;
using GapFlush.Registration;
using GapFlush.Scans;

namespace GapFlush.Tests.Scans;

/// <summary>How many points a file holds is guessed from its start; a guess too high leaves a sample too thin to show a seam.</summary>
public class ScanGuessTests
{
    private static readonly Point3[] Points = Made(30_000);

    public static TheoryData<string> Formats => ["ply ascii", "ply ascii plain", "ply float", "ply double", "stl binary", "stl text", "text", "e57 double", "e57 scaled"];

    [Theory]
    [MemberData(nameof(Formats))]
    public void No_format_is_thought_to_hold_many_more_points_than_it_does(string format)
    {
        InputFile file = InputFile.FromBytes("x", Bytes(format));
        ScanGuess guess = ScanGuess.Of(file);
        Assert.Equal(format.StartsWith("e57", StringComparison.Ordinal), guess.IsMetre);
        Assert.InRange(guess.Points, 0, Points.Length + Points.Length / 50);
        // A guess that is far too low costs time, not points.
        Assert.InRange(guess.Points, Points.Length / 5, long.MaxValue);
        ScanSample sample = new(1, guess.Points);
        Assert.True(ScanReader.Read(file, sample).IsUsable);
        Assert.Equal(Points.Length, sample.Count);
    }

    [Theory]
    [InlineData("ply\nformat ascii 1.0\nelement vertex 99999999999999\nproperty float x\n", 80)]
    [InlineData("ply\nformat ascii 1.0\nelement vertex -7\nproperty float x\n", 0)]
    [InlineData("ply\nformat ascii 1.0\nelement vertex", 0)]
    [InlineData("", 0)]
    [InlineData("1 2 3\n", 0)]
    public void A_file_is_not_thought_to_hold_more_points_than_bytes(string text, long most) => Assert.InRange(ScanGuess.Of(InputFile.FromText("x", text)).Points, 0, most);

    private static byte[] Bytes(string format) => format switch
    {
        "ply ascii" => ScanFiles.PlyAscii(Points),
        "ply ascii plain" => ScanFiles.PlyPlain(Points),
        "ply float" => ScanFiles.PlyBinary(Points, big: false, wide: false),
        "ply double" => ScanFiles.PlyBinary(Points, big: true, wide: true),
        "stl binary" => ScanFiles.StlBinary(Points),
        "stl text" => ScanFiles.StlText(Points),
        "text" => ScanFiles.Text(Points, " ", "x y z"),
        "e57 double" => ScanFiles.E57(Points, scaled: false, (1, 0, 0, 0), default),
        _ => ScanFiles.E57(Points, scaled: true, (1, 0, 0, 0), default),
    };

    private static Point3[] Made(int count)
    {
        SeededRandom random = new(3);
        return [.. Enumerable.Range(0, count).Select(_ => new Point3(Math.Round(random.Between(1, 4), 6), Math.Round(random.Between(-1, 1), 6), Math.Round(random.Between(0, 2), 6)))];
    }
}
