using System.Text;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Tests.Plan;

namespace GapFlush.Product.Tests.Store;

/// <summary>Files of readings for the small plan.</summary>
internal static class SomeReadings
{
    public static FitPlan Plan { get; } = new SmallPlan().Read().Value;

    /// <summary>The text of a sheet: gap and flush at every station of both doors, 32 rows.</summary>
    public static string Text(string build, double shift = 0, string extra = "")
    {
        StringBuilder text = new("build,door,station,characteristic,value,unit,gauge,inspector,taken_at,temperature_c,stage,uncertainty,note\n");
        foreach (Door door in Plan.Doors)
        {
            foreach (Station station in door.Stations)
            {
                text.Append(Invariant($"{build},{door.Code},{station.Name},gap,{3.5 + shift + 0.05 * (station.Index % 5):0.00},mm,TG-01,\"Teal, A.\",2026-03-11T13:{station.Index:00}:30+01:00,21.5,bare,0.1,\n"));
                text.Append(Invariant($"{build},{door.Code},{station.Name},flush,{-0.2 + shift + 0.01 * station.Index:0.000},,SG-02,,,,bare,,\"wiped; \"\"dry\"\"\"\n"));
            }
        }
        return text.Append(extra).ToString();
    }

    public static ReadingLog Log(string build, double shift = 0, string? name = null, string extra = "") => Read(name ?? build + ".csv", Text(build, shift, extra));

    public static ReadingLog Read(string name, string text)
    {
        Outcome<ReadingLog> read = ReadingsReader.Read(InputFile.FromText(name, text), Plan);
        Assert.True(read.IsUsable, read.IsUsable ? "" : read.Problems[0].ToString());
        return read.Value;
    }
}
