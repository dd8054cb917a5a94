using System.Globalization;
using System.Text;
using System.Xml;

namespace GapFlush.Reports.Drawing;

/// <summary>Writes a sheet as SVG: readable, no script, groups with names, text as text.</summary>
public static class SvgWriter
{
    private const string Svg = "http://www.w3.org/2000/svg";

    /// <summary>The SVG as UTF-8 text.</summary>
    /// <param name="sheet">The sheet.</param>
    /// <param name="embedFonts">True for a file that stands alone: the typefaces go in with it. False inside a page that brings them.</param>
    /// <param name="idPrefix">Goes before every id, so that several drawings can stand in one page.</param>
    public static string Write(Sheet sheet, bool embedFonts = true, string idPrefix = "")
    {
        List<Hatch> hatches = [.. sheet.Flat().OfType<Trail>().Select(t => t.Hatch).OfType<Hatch>().Distinct()];
        StringBuilder text = new();
        XmlWriterSettings settings = new() { OmitXmlDeclaration = true, Indent = true, IndentChars = " ", NewLineChars = "\n", CheckCharacters = true };
        using (XmlWriter xml = XmlWriter.Create(text, settings))
        {
            xml.WriteStartElement("svg", Svg);
            xml.WriteAttributeString("viewBox", $"0 0 {Figure(sheet.WidthMm)} {Figure(sheet.HeightMm)}");
            xml.WriteAttributeString("width", $"{Figure(sheet.WidthMm)}mm");
            xml.WriteAttributeString("height", $"{Figure(sheet.HeightMm)}mm");
            xml.WriteAttributeString("role", "img");
            xml.WriteAttributeString("aria-labelledby", $"{idPrefix}title {idPrefix}desc");
            xml.WriteAttributeString("font-family", "'Source Sans 3', 'Segoe UI', Arial, sans-serif");
            xml.WriteAttributeString("font-kerning", "none");
            Words(xml, "title", idPrefix + "title", sheet.Title);
            Words(xml, "desc", idPrefix + "desc", sheet.Description);
            if (embedFonts) xml.WriteElementString("style", Svg, FontRules.Css);
            xml.WriteStartElement("rect", Svg);
            xml.WriteAttributeString("width", "100%");
            xml.WriteAttributeString("height", "100%");
            xml.WriteAttributeString("fill", Palette.White.Hex);
            xml.WriteEndElement();
            for (int i = 0; i < hatches.Count; i++) Append(xml, hatches[i], Invariant($"{idPrefix}hatch-{i + 1}"));
            foreach (Shape shape in sheet.Shapes) Append(xml, shape, idPrefix, hatches);
            xml.WriteEndElement();
        }
        return text.Append('\n').ToString();
    }

    /// <summary>Shapes alone, to stand inside an SVG element of a page; no hatched areas.</summary>
    public static string Fragment(IEnumerable<Shape> shapes)
    {
        StringBuilder text = new();
        using (XmlWriter xml = XmlWriter.Create(text, new XmlWriterSettings { OmitXmlDeclaration = true, ConformanceLevel = ConformanceLevel.Fragment }))
        {
            foreach (Shape shape in shapes) Append(xml, shape, "", []);
        }
        return text.ToString();
    }

    private static void Append(XmlWriter xml, Shape shape, string idPrefix, List<Hatch> hatches)
    {
        switch (shape)
        {
            case Group group:
                xml.WriteStartElement("g", Svg);
                xml.WriteAttributeString("id", idPrefix + group.Id);
                xml.WriteElementString("title", Svg, PrintableText.Of(group.Title));
                foreach (Shape inner in group.Shapes) Append(xml, inner, idPrefix, hatches);
                xml.WriteEndElement();
                break;
            case Trail trail:
                // A hatched area is drawn twice: its ground, then its lines.
                if (trail is { Hatch: not null, Fill: not null }) Append(xml, trail with { Stroke = null, Hatch = null }, idPrefix, hatches);
                xml.WriteStartElement("path", Svg);
                xml.WriteAttributeString("d", Steps(trail));
                xml.WriteAttributeString("fill", trail.Hatch is Hatch hatch ? Invariant($"url(#{idPrefix}hatch-{hatches.IndexOf(hatch) + 1})") : trail.Fill?.Hex ?? "none");
                Paint(xml, trail.Stroke);
                if (trail.Hole is not null) xml.WriteAttributeString("fill-rule", "evenodd");
                xml.WriteEndElement();
                break;
            case Disc disc:
                xml.WriteStartElement("circle", Svg);
                xml.WriteAttributeString("cx", Figure(disc.Centre.X));
                xml.WriteAttributeString("cy", Figure(disc.Centre.Y));
                xml.WriteAttributeString("r", Figure(disc.RadiusMm));
                xml.WriteAttributeString("fill", disc.Fill?.Hex ?? "none");
                Paint(xml, disc.Stroke);
                xml.WriteEndElement();
                break;
            case Lettering text:
                xml.WriteStartElement("text", Svg);
                xml.WriteAttributeString("x", Figure(text.Place.X));
                xml.WriteAttributeString("y", Figure(text.Place.Y));
                xml.WriteAttributeString("font-size", Figure(text.CapitalMm / Faces.CapitalShare));
                if (text.Weight == Weight.Semibold) xml.WriteAttributeString("font-weight", "600");
                if (text.Anchor != Anchor.Start) xml.WriteAttributeString("text-anchor", text.Anchor == Anchor.Middle ? "middle" : "end");
                xml.WriteAttributeString("fill", (text.Ink ?? Palette.Black).Hex);
                if (text.TurnDeg != 0) xml.WriteAttributeString("transform", $"rotate({Figure(text.TurnDeg)} {Figure(text.Place.X)} {Figure(text.Place.Y)})");
                xml.WriteString(text.Text);
                xml.WriteEndElement();
                break;
            default:
                throw new ArgumentException($"No SVG form for a shape of type {shape.GetType().Name}.", nameof(shape));
        }
    }

    private static string Steps(Trail trail)
    {
        StringBuilder d = new();
        Run(d, trail.Places, trail.Curved, trail.Closed);
        if (trail.Hole is not null) Run(d, trail.Hole, false, true);
        return d.ToString();
    }

    private static void Run(StringBuilder d, IReadOnlyList<Place> places, bool curved, bool closed)
    {
        for (int i = 0; i < places.Count; i++)
        {
            if (i == 0) d.Append('M');
            else if (!curved) d.Append('L');
            else d.Append(i % 3 == 1 ? 'C' : ' ');
            d.Append(Figure(places[i].X)).Append(',').Append(Figure(places[i].Y));
        }
        if (closed) d.Append('Z');
    }

    private static void Append(XmlWriter xml, Hatch hatch, string id)
    {
        xml.WriteStartElement("pattern", Svg);
        xml.WriteAttributeString("id", id);
        xml.WriteAttributeString("patternUnits", "userSpaceOnUse");
        xml.WriteAttributeString("width", Figure(hatch.SpacingMm));
        xml.WriteAttributeString("height", Figure(hatch.SpacingMm));
        xml.WriteAttributeString("patternTransform", $"rotate({Figure(hatch.AngleDeg)})");
        xml.WriteStartElement("rect", Svg);
        xml.WriteAttributeString("width", Figure(hatch.SpacingMm));
        xml.WriteAttributeString("height", Figure(hatch.WidthMm));
        xml.WriteAttributeString("fill", hatch.Ink.Hex);
        xml.WriteEndElement();
        xml.WriteEndElement();
    }

    private static void Words(XmlWriter xml, string name, string id, string text)
    {
        xml.WriteStartElement(name, Svg);
        xml.WriteAttributeString("id", id);
        xml.WriteString(PrintableText.Of(text));
        xml.WriteEndElement();
    }

    private static void Paint(XmlWriter xml, Stroke? stroke)
    {
        if (stroke is null) return;
        xml.WriteAttributeString("stroke", stroke.Ink.Hex);
        xml.WriteAttributeString("stroke-width", Figure(stroke.WidthMm));
        xml.WriteAttributeString("stroke-linejoin", "round");
        if (stroke.DashMm is not null) xml.WriteAttributeString("stroke-dasharray", string.Join(' ', stroke.DashMm.Select(Figure)));
    }

    private static string Figure(double value) => (Math.Round(value, 3) + 0.0).ToString("0.###", CultureInfo.InvariantCulture);
}
