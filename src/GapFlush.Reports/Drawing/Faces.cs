using SkiaSharp;

namespace GapFlush.Reports.Drawing;

/// <summary>The typefaces, out of the assembly itself: a machine without any fonts letters the same way.</summary>
internal static class Faces
{
    /// <summary>Height of a capital over the type size. The outline of H is 656 of 1000 units high in Regular and 654 in Semibold (the file's own
    /// entry says 660); a little less than both, so that no capital comes out lower than asked.</summary>
    public const double CapitalShare = 0.652;

    private static readonly Lazy<SKTypeface> Regular = new(() => Load("SourceSans3-Regular.ttf"));
    private static readonly Lazy<SKTypeface> Semibold = new(() => Load("SourceSans3-Semibold.ttf"));

    public static SKTypeface Of(Weight weight) => weight == Weight.Semibold ? Semibold.Value : Regular.Value;

    /// <summary>A file of the Fonts folder.</summary>
    public static byte[] File(string name)
    {
        using Stream stream = Open(name);
        byte[] content = new byte[stream.Length];
        stream.ReadExactly(content);
        return content;
    }

    private static SKTypeface Load(string name)
    {
        using Stream stream = Open(name);
        using SKData data = SKData.Create(stream);
        return SKTypeface.FromData(data) ?? throw new InvalidOperationException($"The typeface {name} cannot be read.");
    }

    private static Stream Open(string name) =>
        typeof(Faces).Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"The resource {name} is not in the assembly.");
}
