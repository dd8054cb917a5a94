using System.Reflection;
using System.Security.Cryptography;
using System.Text;

namespace GapFlush.Store.Schema;

/// <summary>One numbered SQL file of the schema.</summary>
/// <param name="Name">Name of the file, such as <c>0001_record.sql</c>.</param>
/// <param name="Text">What stands in it.</param>
internal sealed record SchemaScript(string Name, string Text)
{
    /// <summary>SHA-256 of the text with LF line ends, in hexadecimal.</summary>
    public string Sha256 { get; } = HashOf(Text);

    /// <summary>The scripts of one engine, in the order of their numbers.</summary>
    public static IReadOnlyList<SchemaScript> Of(string engine)
    {
        Assembly assembly = typeof(SchemaScript).Assembly;
        string prefix = $"GapFlush.Store.{engine}.";
        return
        [
            .. assembly.GetManifestResourceNames().Where(n => n.StartsWith(prefix, StringComparison.Ordinal)).Order(StringComparer.Ordinal).Select(n =>
            {
                using StreamReader reader = new(assembly.GetManifestResourceStream(n)!);
                return new SchemaScript(n[prefix.Length..], reader.ReadToEnd().ReplaceLineEndings("\n"));
            }),
        ];
    }

    /// <summary>SHA-256 of a script.</summary>
    public static string HashOf(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text.ReplaceLineEndings("\n"))));
}
