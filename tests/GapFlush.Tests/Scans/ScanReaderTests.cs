using System.Text;
using GapFlush.Geometry;
using GapFlush.Inputs;
using GapFlush.Numerics;
using GapFlush.Scans;

namespace GapFlush.Tests.Scans;

public class ScanReaderTests
{
    private static readonly Point3[] Points = Made(900);

    public static TheoryData<string> Formats => [.. Files().Keys];

    // Floats hold 3 m to 1.2e-4 mm; scaled integers here a micrometre of the file's metre-like unit.
    [Theory]
    [MemberData(nameof(Formats))]
    public void Every_format_gives_the_same_points(string format)
    {
        (ScanFacts facts, List<Point3> found) = Read(Files()[format]);
        Assert.Equal(Points.Length, facts.Points);
        double tolerance = format.Contains("float", StringComparison.Ordinal) || format.Contains("stl binary", StringComparison.Ordinal) ? 2e-3 : format.Contains("scaled", StringComparison.Ordinal) ? 1e-6 : 1e-12;
        for (int i = 0; i < found.Count; i++) Near.Absolute(0, found[i].DistanceTo(Points[i]), tolerance);
    }

    [Theory]
    [MemberData(nameof(Formats))]
    public void A_file_cut_short_is_refused_or_read_to_its_last_whole_line(string format)
    {
        byte[] whole = Files()[format];
        int length = whole.Length * 2 / 3;
        while (whole[length - 1] is (byte)'\n' or (byte)'\r') length--;   // at a line's end a cut cannot be seen in rows of text
        Outcome<ScanFacts> cut = ScanReader.Read(InputFile.FromBytes("cut", whole[..length]), _ => { });
        if (format.StartsWith("text", StringComparison.Ordinal))
        {
            // Rows of text carry no count to be held to; the cut line is all there is to see.
            Assert.True(cut.IsUsable ? cut.Notices.Any(n => n.Contains("cut short", StringComparison.Ordinal)) : cut.Problems.Count > 0);
            return;
        }
        Assert.False(cut.IsUsable);
        Assert.Contains("cut", cut.Problems[0].Source, StringComparison.Ordinal);
        Assert.NotEqual("", cut.Problems[0].Remedy);
    }

    [Theory]
    [InlineData("", "a scan")]
    [InlineData("ply\nformat ascii 1.0\nelement vertex 0\nproperty float x\nproperty float y\nproperty float z\nend_header\n", "points")]
    [InlineData("ply\nformat ascii 1.0\nelement vertex 99999999999\nproperty float x\nproperty float y\nproperty float z\nend_header\n1 2 3\n", "99999999999 rows")]
    [InlineData("ply\nformat binary_little_endian 1.0\nelement vertex 9000000000000000000\nproperty float x\nproperty float y\nproperty float z\nend_header\n", "9000000000000000000 rows")]
    [InlineData("ply\nformat ascii 1.0\nelement face 1\nproperty int x\nend_header\n", "an element named vertex")]
    [InlineData("ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\nend_header\n1 2\n", "a number z")]
    [InlineData("ply\nelement vertex 1\nproperty float x\nend_header\n", "a line format")]
    [InlineData("ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nend_header\n1 two 3\n", "a number")]
    [InlineData("ply\nformat ascii 1.0\nelement vertex 2\nproperty float x\nproperty float y\nproperty float z\nend_header\nnan nan nan\nnan 1 2\n", "points")]
    [InlineData("ply\nformat ascii 1.0\nelement vertex 2\nproperty float x\nproperty float y\nproperty float z\nend_header\n1 2 3\n\n4 5\n", "3 numbers")]
    [InlineData("ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nend_header\n1 2 3\n\n4 5 6\n", "3 rows of element vertex")]
    [InlineData("1 2 3\n4 five 6\n", "a number as field 2")]
    [InlineData("1 2 3\n4 5\n", "at least 3 numbers")]
    [InlineData("a,b,c\n1,2,3\n", "columns named x, y and z")]
    [InlineData("solid x\nfacet normal 0 0 1\nouter loop\nvertex 1 2\n", "three numbers")]
    public void A_broken_file_says_what_was_expected(string content, string expected)
    {
        Outcome<ScanFacts> read = ScanReader.Read(InputFile.FromText("bad", content), _ => { });
        Assert.False(read.IsUsable);
        Assert.Contains(expected, read.Problems[0].Expected, StringComparison.Ordinal);
    }

    [Fact]
    public void Points_that_are_no_numbers_are_left_out_and_counted()
    {
        Outcome<ScanFacts> read = ScanReader.Read(InputFile.FromText("x", "x y z\n1 2 3\nnan 2 3\n4 5 6\n"), _ => { });
        Assert.Equal((2, 1), (read.Value.Points, read.Value.LeftOut));
        Assert.Contains(read.Notices, n => n.Contains("left out", StringComparison.Ordinal));
    }

    // Worked example of METHOD.md.
    [Fact]
    public void Decimal_commas_between_spaces_are_seen()
    {
        (ScanFacts facts, List<Point3> found) = Read(Encoding.ASCII.GetBytes("1,5 2,5 3,5\n1,25 2 3\n"));
        Assert.Equal([new(1.5, 2.5, 3.5), new(1.25, 2, 3)], found);
        Assert.Contains(facts.Notices, n => n.Contains("decimal comma", StringComparison.Ordinal));
    }

    [Fact]
    public void A_damaged_page_is_told()
    {
        byte[] file = Files()["e57 double"];
        file[2000] ^= 1;
        Assert.Contains("checksum", ScanReader.Read(InputFile.FromBytes("x", file), _ => { }).Problems[0].Found, StringComparison.Ordinal);
    }

    // A changed file must end in points or in a message, whatever the change; GAPFLUSH_FUZZ sets how many are tried for each format (a minute or two for each 100,000).
    [Theory]
    [MemberData(nameof(Formats))]
    public void Changed_files_neither_crash_nor_hang(string format)
    {
        int each = int.TryParse(Environment.GetEnvironmentVariable("GAPFLUSH_FUZZ"), out int asked) ? asked : 300, good = 0, bad = 0;
        byte[] whole = Files(Made(60))[format];
        SeededRandom random = new((ulong)format.Length);
        for (int k = 0; k < each; k++)
        {
            byte[] file = Changed(whole, random, format.StartsWith("e57", StringComparison.Ordinal) && random.Unit() < 0.8);
            long points = 0, before = GC.GetAllocatedBytesForCurrentThread();
            try
            {
                Assert.InRange(ScanGuess.Of(InputFile.FromBytes("x", file)).Points, 0, file.Length);
                Outcome<ScanFacts> read = ScanReader.Read(InputFile.FromBytes("x", file), b => points += b.Length / 3);
                Assert.True(read.IsUsable ? points == read.Value.Points : read.Problems.Count > 0);
                // The files are a few kB; a reader that needs thousands of times that believes a number in the file.
                Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 64 << 20);
                if (read.IsUsable) good++;
                else bad++;
            }
            catch (Exception e)
            {
                throw new InvalidOperationException($"{format}, change {k}: {e.GetType().Name}: {e.Message}", e);
            }
        }
        Assert.True(good > 0 && bad > 0, $"{good} files were read and {bad} refused: the changes try too little");
    }

    // Several pieces of each: what several threads hand over is what one reads, to the bit and in order.
    [Theory]
    [InlineData("ply")]
    [InlineData("text")]
    [InlineData("text crlf")]
    [InlineData("stl")]
    [InlineData("ply ascii")]
    [InlineData("stl text")]
    [InlineData("e57 double")]
    [InlineData("e57 scaled")]
    public void Many_threads_hand_over_what_one_reads(string format)
    {
        Point3[] points = Made(100_000);
        byte[] file = format switch
        {
            "ply" => ScanFiles.PlyBinary(points, big: false, wide: false),
            "stl" => ScanFiles.StlBinary(points),
            "ply ascii" => ScanFiles.PlyPlain(points),
            "stl text" => ScanFiles.StlText(points),
            "e57 double" => ScanFiles.E57(points, scaled: false, (0.8, 0.36, 0.48, 0), new(0.5, -0.25, 1)),
            "e57 scaled" => ScanFiles.E57(points, scaled: true, (1, 0, 0, 0), default),
            _ => Encoding.ASCII.GetBytes(string.Join(format == "text" ? "\n" : "\r\n", points.Select((p, i) => i % 1000 == 7 ? "# a remark" : FormattableString.Invariant($"{p.X:0.000000} {p.Y:0.0000} {p.Z:0.00000}{(i % 10 == 0 ? " 17 5e3" : i % 10 == 1 ? "  " : "")}")))),
        };
        (ScanFacts facts, List<Point3> one) = Read(file);
        StoredPoints stored = new(1);
        List<Point3> many = [], again = [];
        Assert.Equal(facts.Points, ScanReader.Read(InputFile.FromBytes("x", file), new BothSieves(new ListSieve(many), stored)).Value.Points);
        Assert.Equal(one, many);
        stored.Replay(new ListSieve(again));
        Assert.Equal(one.Count, again.Count);
        for (int i = 0; i < one.Count; i++) Near.Absolute(0, one[i].DistanceTo(again[i]), 1.6e-5);
    }

    [Fact]
    public void A_wrong_line_far_down_is_told_by_its_number()
    {
        string text = string.Concat(Enumerable.Range(1, 200_000).Select(i => i == 150_000 ? "1.5 2.5 x\n" : "1.5 2.5 3.5\n"));
        Assert.Equal(150_000, ScanReader.Read(InputFile.FromText("x", text), new ListSieve([])).Problems[0].Line);
    }

    [Fact]
    public void A_wrong_corner_far_down_is_told_by_its_line()
    {
        string text = "solid s\n" + string.Concat(Enumerable.Range(2, 200_000).Select(i => i == 150_000 ? " vertex 1 2\r\n" : "  vertex 1.5 2.5 3.5\r\n")) + "endsolid s\n";
        InputProblem problem = ScanReader.Read(InputFile.FromText("x", "solid s facet\n" + text), new ListSieve([])).Problems[0];
        Assert.Equal((150_001, "vertex 1 2"), (problem.Line, problem.Found));
    }

    [Fact]
    public void Fields_that_hold_no_bits_are_refused_whatever_count_is_claimed()
    {
        byte[] file = ScanFiles.E57(Made(60), scaled: true, (1, 0, 0, 0), default);
        string all = Encoding.Latin1.GetString(file).Replace("minimum=\"-20000000\" maximum=\"20000000\"", "minimum=\"20000000\"  maximum=\"20000000\"", StringComparison.Ordinal)
            .Replace("minimum=\"0\" maximum=\"2\"", "minimum=\"2\" maximum=\"2\"", StringComparison.Ordinal);
        byte[] changed = Encoding.Latin1.GetBytes(all);
        ScanFiles.MendPages(changed);
        Assert.Equal("fields that hold points", ScanReader.Read(InputFile.FromBytes("x", changed), _ => { }).Problems[0].Expected);
    }

    [Fact]
    public void A_wrong_row_far_down_is_told_by_its_vertex()
    {
        string text = "ply\nformat ascii 1.0\nelement vertex 200000\nproperty float x\nproperty float y\nproperty float z\nend_header\n" + string.Concat(Enumerable.Range(1, 200_000).Select(i => i == 150_000 ? "\n1.5 x 3.5\n" : "1.5 2.5 3.5\n"));
        InputProblem problem = ScanReader.Read(InputFile.FromText("x", text), new ListSieve([])).Problems[0];
        Assert.Equal(("y of vertex 150000", "x", "a number"), (problem.Column, problem.Found, problem.Expected));
    }

    private sealed class ListSieve(List<Point3> all) : IPointSieve
    {
        public IPointTray NewTray() => new Tray(all);

        private sealed class Tray(List<Point3> all) : IPointTray
        {
            private readonly List<Point3> _own = [];

            public void Sift(ReadOnlySpan<double> block)
            {
                for (int i = 0; i < block.Length; i += 3) _own.Add(new(block[i], block[i + 1], block[i + 2]));
            }

            public void HandOver()
            {
                all.AddRange(_own);
                _own.Clear();
            }
        }
    }

    private static byte[] Changed(byte[] whole, SeededRandom random, bool mendPages)
    {
        byte[] file = random.Unit() < 0.2 ? whole[..random.Below(whole.Length)] : (byte[])whole.Clone();
        int changes = 1 + random.Below(4);
        for (int i = 0; i < changes && file.Length > 0; i++)
        {
            int at = random.Unit() < 0.5 ? random.Below(Math.Min(400, file.Length)) : random.Below(file.Length);
            file[at] = random.Below(4) switch { 0 => (byte)random.Below(256), 1 => (byte)(file[at] ^ (1 << random.Below(8))), 2 => 255, _ => (byte)('0' + random.Below(10)) };
        }
        if (mendPages) ScanFiles.MendPages(file);   // so that the change gets past the checksums
        return file;
    }

    private static (ScanFacts Facts, List<Point3> Points) Read(byte[] file)
    {
        List<Point3> found = [];
        Outcome<ScanFacts> read = ScanReader.Read(InputFile.FromBytes("x", file), block =>
        {
            for (int i = 0; i < block.Length; i += 3) found.Add(new(block[i], block[i + 1], block[i + 2]));
        });
        Assert.True(read.IsUsable, read.IsUsable ? "" : read.Problems[0].ToString());
        return (read.Value, found);
    }

    private static Point3[] Made(int count)
    {
        SeededRandom random = new(3);
        return [.. Enumerable.Range(0, count).Select(_ => new Point3(Math.Round(random.Between(1, 4), 6), Math.Round(random.Between(-1, 1), 6), Math.Round(random.Between(0, 2), 6)))];
    }

    private static Dictionary<string, byte[]> Files(Point3[]? points = null)
    {
        points ??= Points;
        return new()
        {
            ["ply ascii"] = ScanFiles.PlyAscii(points),
            ["ply ascii crlf"] = ScanFiles.PlyAscii(points, "\r\n"),
            ["ply ascii plain"] = ScanFiles.PlyPlain(points),
            ["ply ascii plain crlf"] = ScanFiles.PlyPlain(points, "\r\n"),
            ["ply little float"] = ScanFiles.PlyBinary(points, big: false, wide: false),
            ["ply big float"] = ScanFiles.PlyBinary(points, big: true, wide: false),
            ["ply little double"] = ScanFiles.PlyBinary(points, big: false, wide: true),
            ["ply big double"] = ScanFiles.PlyBinary(points, big: true, wide: true),
            ["stl binary"] = ScanFiles.StlBinary(points),
            ["stl text"] = ScanFiles.StlText(points),
            ["text comma header"] = ScanFiles.Text(points, ",", "X,Y,Z"),
            ["text semicolon decimal comma"] = ScanFiles.Text(points, ";", null, comma: true),
            ["text tab"] = ScanFiles.Text(points, "\t", null),
            ["text space"] = ScanFiles.Text(points, " ", "x y z"),
            ["e57 double"] = ScanFiles.E57(points, scaled: false, (0.8, 0.36, 0.48, 0), new(0.5, -0.25, 1)),
            ["e57 scaled"] = ScanFiles.E57(points, scaled: true, (1, 0, 0, 0), default),
        };
    }
}
