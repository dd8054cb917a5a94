using BenchmarkDotNet.Running;
using GapFlush.Benchmarks.Records;
using GapFlush.Benchmarks.Scans;

// time-scan FILE: stage by stage, of a scan so written.
// write-scan FOLDER POINTS [text]: a made scan with its plan, to time the published command on.
// write-record FILE ROWS: a record of made readings, to time the published command on.
// time-capability RECORD: stage by stage, of the example plan over a record.
if (args is ["write-record", string address, string rows]) MadeReadings.Add(address, MadeReadings.Log(MadeReadings.Plan(), int.Parse(rows)), MadeReadings.Plan());
else if (args is ["time-capability", string record]) CapabilityStages.Print(record);
else if (args is ["write-scan", string folder, string points, ..]) MadeScan.Write(folder, long.Parse(points), asText: args is [.., "text"]);
else if (args is ["time-scan", string scan]) StageTimes.Print(scan);
else BenchmarkSwitcher.FromAssembly(typeof(MadeScan).Assembly).Run(args);
