using GapFlush.Reports.Drawing;

namespace GapFlush.Reports.Pages;

/// <summary>Running text.</summary>
/// <param name="Text">The words.</param>
/// <param name="Role">What kind of paragraph it is.</param>
/// <param name="Mark">A verdict mark in front, or null.</param>
public sealed record Paragraph(string Text, ParagraphRole Role = ParagraphRole.Body, Mark? Mark = null) : Block;
