using System.CommandLine;
using GapFlush.Cli.Running;
using GapFlush.Store.Verifying;

namespace GapFlush.Cli.Commands.Record;

/// <summary>Finds alterations of the record.</summary>
internal static class RecordVerifyCommand
{
    private static readonly Option<string?> HeadOption = new("--head") { Description = "A head noted earlier: shows too whether the record was cut short or written anew since.", HelpName = "HASH" };

    public static Command Create()
    {
        Command command = new("verify", "Goes through the whole record and says where anything was altered. Ends with 1 where something was.\n"
            + "It prints the head: note it elsewhere, since only against a noted head can it be seen that entries were cut off the end, or everything was written anew.\nExample: gapflush record verify --record shop.sqlite")
        {
            CommonOptions.Record, HeadOption, CommonOptions.Json, CommonOptions.Quiet,
        };
        command.SetAction(Run);
        return command;
    }

    private static int Run(ParseResult parse)
    {
        Talk talk = new(parse);
        Verification found = RecordLoading.With(parse, mayCreate: false, store =>
        {
            store.Progress = talk.Progress;
            return store.Verify(parse.GetValue(HeadOption));
        });
        talk.EndProgress();
        if (talk.Json)
        {
            talk.Output.WriteLine(JsonText.Write(JsonText.Object(("whole", found.IsWhole), ("files", found.Head.Files), ("entries", found.Head.Entries), ("head", found.Head.Hash), ("noted_head_at_entry", found.NotedAt),
                ("findings", found.Findings.Select(f => JsonText.Object(("kind", f.Kind), ("entry", f.Entry), ("file", f.File), ("words", f.Words))).ToList()))));
        }
        else
        {
            foreach (Finding finding in found.Findings) talk.Output.WriteLine($"altered  {finding.Words}");
            talk.Output.WriteLine(Invariant($"{(found.IsWhole ? "Whole" : "NOT whole")}: {found.Head.Files} files, {found.Head.Entries} entries. Head {found.Head.Hash}"));
            if (found.NotedAt is long at) talk.Output.WriteLine(at == found.Head.Entries ? "The noted head is the head now: nothing was added since." : Invariant($"The noted head stands at entry {at}; what follows was added since."));
            else if (parse.GetValue(HeadOption) is null) talk.Say("Note the head outside the record, with the date; give it with --head next time.");
        }
        return found.IsWhole ? ExitCode.AllWithin : ExitCode.NotAllWithin;
    }
}
