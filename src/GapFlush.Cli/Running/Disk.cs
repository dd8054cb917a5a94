using GapFlush.Inputs;

namespace GapFlush.Cli.Running;

/// <summary>The disk, as commands use it: input files by path, results written whole or not at all.</summary>
internal static class Disk
{
    /// <summary>The files of a fit plan folder (sub-folders are not part of the plan).</summary>
    /// <exception cref="RefusedException">The folder does not exist.</exception>
    public static IReadOnlyList<InputFile> PlanFolder(string path)
    {
        if (File.Exists(path)) throw new RefusedException($"'{path}' is a file; the fit plan is a folder that holds plan.json, stations.csv and limits.csv. Give the folder.");
        if (!Directory.Exists(path)) throw new RefusedException($"there is no folder '{path}'; give the fit plan's folder, which holds plan.json, stations.csv and limits.csv.");
        return [.. Directory.EnumerateFiles(path).Order(StringComparer.Ordinal).Select(f => new InputFile(f, () => File.OpenRead(f)))];
    }

    /// <summary>A file that a command reads.</summary>
    /// <exception cref="RefusedException">The file does not exist.</exception>
    public static InputFile Input(string path)
    {
        if (Directory.Exists(path)) throw new RefusedException($"'{path}' is a folder; a file was expected.");
        if (!File.Exists(path)) throw new RefusedException($"there is no file '{path}'. Check the path.");
        return new InputFile(path, () => File.OpenRead(path));
    }

    /// <summary>Writes files into a folder: all to temporary names first, then renamed, so that a failure leaves nothing half-written.</summary>
    public static void WriteAll(string folder, IEnumerable<(string Name, byte[] Content)> files)
    {
        if (File.Exists(folder)) throw new RefusedException($"'{folder}' is a file; the results need a folder. Give another --out.");
        List<(string Temporary, string Final)> written = [];
        try
        {
            foreach ((string name, byte[] content) in files)
            {
                string final = Path.Combine(folder, name);
                Directory.CreateDirectory(Path.GetDirectoryName(final)!);
                if (Directory.Exists(final)) throw new RefusedException($"'{final}' is a folder; a file of that name is to be written. Give another --out.");
                string temporary = $"{final}.{Environment.ProcessId}.part";
                written.Add((temporary, final));
                File.WriteAllBytes(temporary, content);
            }
            foreach ((string temporary, string final) in written) File.Move(temporary, final, overwrite: true);
        }
        catch
        {
            foreach ((string temporary, _) in written) File.Delete(temporary);
            throw;
        }
    }

    /// <summary>Writes one file by way of a temporary name.</summary>
    public static void Write(string path, byte[] content)
    {
        string full = Path.GetFullPath(path);
        WriteAll(Path.GetDirectoryName(full)!, [(Path.GetFileName(full), content)]);
    }
}
