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
    public static string Write(Sheet sheet, bool embedFonts = true)
    {
        StringBuilder text = new();
        XmlWriterSettings settings = new() { OmitXmlDeclaration = true, Indent = true, IndentChars = " ", NewLineChars = "\n", CheckCharacters = true };
        using (XmlWriter xml = XmlWriter.Create(text, settings))
        {
            xml.WriteStartElement("svg", Svg);
            xml.WriteAttributeString("viewBox", $"0 0 {Figure(sheet.WidthMm)} {Figure(sheet.HeightMm)}");
            xml.WriteAttributeString("width", $"{Figure(sheet.WidthMm)}mm");
            xml.WriteAttributeString("height", $"{Figure(sheet.HeightMm)}mm");
            xml.WriteAttributeString("role", "img");
            xml.WriteAttributeString("font-family", "'Source Sans 3', 'Segoe UI', Arial, sans-serif");
            xml.WriteElementString("title", Svg, Clean(sheet.Title));
            xml.WriteElementString("desc", Svg, Clean(sheet.Description));
            if (embedFonts) xml.WriteElementString("style", Svg, FontRules.Css);
            xml.WriteStartElement("rect", Svg);
            xml.WriteAttributeString("width", "100%");
            xml.WriteAttributeString("height", "100%");
            xml.WriteAttributeString("fill", Palette.White.Hex);
            xml.WriteEndElement();
            foreach (Shape shape in sheet.Shapes) Append(xml, shape);
            xml.WriteEndElement();
        }
        return text.Append('\n').ToString();
    }

    private static void Append(XmlWriter xml, Shape shape)
    {
        switch (shape)
        {
            case Group group:
                xml.WriteStartElement("g", Svg);
                xml.WriteAttributeString("id", group.Id);
                xml.WriteElementString("title", Svg, Clean(group.Title));
                foreach (Shape inner in group.Shapes) Append(xml, inner);
                xml.WriteEndElement();
                break;
            case Trail trail:
                xml.WriteStartElement("path", Svg);
                xml.WriteAttributeString("d", Steps(trail));
                Paint(xml, trail.Stroke, trail.Fill);
                if (trail.Hole is not null) xml.WriteAttributeString("fill-rule", "evenodd");
                xml.WriteEndElement();
                break;
            case Disc disc:
                xml.WriteStartElement("circle", Svg);
                xml.WriteAttributeString("cx", Figure(disc.Centre.X));
                xml.WriteAttributeString("cy", Figure(disc.Centre.Y));
                xml.WriteAttributeString("r", Figure(disc.RadiusMm));
                Paint(xml, disc.Stroke, disc.Fill);
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
                xml.WriteString(Clean(text.Text));
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

    private static void Paint(XmlWriter xml, Stroke? stroke, Ink? fill)
    {
        xml.WriteAttributeString("fill", fill?.Hex ?? "none");
        if (stroke is null) return;
        xml.WriteAttributeString("stroke", stroke.Ink.Hex);
        xml.WriteAttributeString("stroke-width", Figure(stroke.WidthMm));
        xml.WriteAttributeString("stroke-linejoin", "round");
        if (stroke.DashMm is not null) xml.WriteAttributeString("stroke-dasharray", string.Join(' ', stroke.DashMm.Select(Figure)));
    }

    private static string Figure(double value) => (Math.Round(value, 3) + 0.0).ToString("0.###", CultureInfo.InvariantCulture);

    // XML allows no control characters, and half a surrogate pair is no character at all.
    private static string Clean(string text) => string.Concat(text.EnumerateRunes().Select(r => Rune.IsControl(r) ? " " : r.ToString()));
}
