namespace GapFlush.Reports.Drawing;

/// <summary>The style rules that bring the typefaces into a page or a picture that stands alone.</summary>
public static class FontRules
{
    private static readonly Lazy<string> Rules = new(() => Rule("SourceSans3-Regular.ttf.woff2", 400) + Rule("SourceSans3-Semibold.ttf.woff2", 600));

    /// <summary>The rules, typefaces included.</summary>
    public static string Css => Rules.Value;

    private static string Rule(string file, int weight) =>
        $"@font-face{{font-family:'Source Sans 3';font-weight:{weight};src:url(data:font/woff2;base64,{Convert.ToBase64String(Faces.File(file))}) format('woff2')}}\n";
}
