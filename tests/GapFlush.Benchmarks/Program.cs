using BenchmarkDotNet.Running;
using GapFlush.Benchmarks.Scans;

// time-scan FILE: stage by stage, of a scan so written.
// write-scan FOLDER POINTS [text]: a made scan with its plan, to time the published command on.
if (args is ["write-scan", string folder, string points, ..]) MadeScan.Write(folder, long.Parse(points), asText: args is [.., "text"]);
else if (args is ["time-scan", string scan]) StageTimes.Print(scan);
else BenchmarkSwitcher.FromAssembly(typeof(MadeScan).Assembly).Run(args);
