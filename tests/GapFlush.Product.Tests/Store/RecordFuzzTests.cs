using System.Text;
using GapFlush.Inputs;
using GapFlush.Measurements;
using GapFlush.Product.Tests.Commands;
using GapFlush.Readings;
using GapFlush.Store;
using GapFlush.Store.Exchange;
using GapFlush.Tests.Inputs;

namespace GapFlush.Product.Tests.Store;

/// <summary>Whatever stands in an export it is read as it was written or refused, and whatever a file of readings holds comes out of the record again. GAPFLUSH_FUZZ sets how many changed files each is given.</summary>
public class RecordFuzzTests
{
    private static readonly int Each = int.TryParse(Environment.GetEnvironmentVariable("GAPFLUSH_FUZZ"), out int asked) ? asked : 300;
    private static readonly Author Teal = new("A. Teal", new(2026, 3, 11, 15, 0, 0, TimeSpan.Zero), "wrong column");

    [Fact]
    public void A_changed_export_is_refused_or_is_what_was_written()
    {
        using ScratchFolder scratch = new();
        using RecordStore record = RecordStore.Open(scratch.At("r.sqlite"), mayCreate: true);
        record.Add(SomeReadings.Log("001"), SomeReadings.Plan, Teal, SameKey.Ask);
        record.Correct([(3, record.Find(3)!.Reading with { Value = 3.71, WrittenValue = "3.71" }), (5, null)], Teal);
        string whole = Text(record);
        int good = 0, bad = 0;
        for (int k = 0; k < Each; k++)
        {
            byte[] changed = ChangedText.Of(Encoding.UTF8.GetBytes(whole), new((ulong)k + 1));
            try
            {
                Outcome<RecordExport> read = RecordExport.Read(InputFile.FromBytes("export.csv", changed));
                if (!read.IsUsable)
                {
                    bad++;
                    Assert.NotEmpty(read.Problems);
                    Assert.All(read.Problems, p => Assert.True(p.Source.Length > 0 && p.Expected.Length > 0 && p.Remedy.Length > 0, p.ToString()));
                    continue;
                }
                good++;
                // Only a change that means nothing may pass: what it is taken for must be the record it came from.
                using RecordStore other = RecordStore.Open(scratch.At($"other{k}.sqlite"), mayCreate: true);
                other.Import(read.Value);
                Assert.Equal(whole, Text(other));
            }
            catch (Exception e)
            {
                throw new InvalidOperationException($"change {k}: {e.GetType().Name}: {e.Message}\n{Encoding.UTF8.GetString(changed.AsSpan(0, Math.Min(changed.Length, 2000)))}", e);
            }
        }
        Assert.True(good > 0 && bad > 0, $"{good} exports were read and {bad} refused: the changes try too little");
    }

    [Fact]
    public void Whatever_readings_hold_comes_out_of_the_record_again()
    {
        byte[] whole = Encoding.UTF8.GetBytes(SomeReadings.Text("001"));
        // Two records a file: a third as many.
        int good = 0, tries = Each / 3;
        for (int k = 0; k < tries; k++)
        {
            byte[] changed = ChangedText.Of(whole, new((ulong)k + 1));
            try
            {
                Outcome<ReadingLog> read = ReadingsReader.Read(InputFile.FromBytes("001.csv", changed), SomeReadings.Plan);
                if (!read.IsUsable || read.Value.Readings.Count == 0) continue;
                good++;
                using ScratchFolder scratch = new();
                using RecordStore record = RecordStore.Open(scratch.At("r.sqlite"), mayCreate: true), other = RecordStore.Open(scratch.At("other.sqlite"), mayCreate: true);
                record.Add(read.Value, SomeReadings.Plan, Teal, SameKey.Repeat);
                string text = Text(record);
                other.Import(RecordExport.Read(InputFile.FromText("export.csv", text)).Value);
                Assert.Equal(text, Text(other));
                Assert.Equal(record.Head().Hash, other.Head().Hash);
                Assert.Empty(other.Verify().Findings);
                Assert.Equal(read.Value.Readings.Select(Told), other.Readings().Select(Told));
            }
            catch (Exception e)
            {
                throw new InvalidOperationException($"change {k}: {e.GetType().Name}: {e.Message}\n{Encoding.UTF8.GetString(changed.AsSpan(0, Math.Min(changed.Length, 2000)))}", e);
            }
        }
        Assert.True(good > tries / 20, $"only {good} of {tries} changed files were read: the changes try too little");
    }

    // All but the repeat: readings of one key are numbered on as they are added.
    private static (string, string, string, string, double, string, string?, string?, DateTimeOffset?, double?, string?, double?, string?, int) Told(Reading r) =>
        (r.Build, r.Door, r.Station, r.Characteristic.Code, r.Value, r.WrittenValue, r.Gauge, r.Inspector, r.TakenAt, r.TemperatureC, r.Stage, r.ExpandedUncertainty, r.Note, r.Line);

    private static string Text(RecordStore record)
    {
        using StringWriter text = new();
        record.Export(text);
        return text.ToString();
    }
}
