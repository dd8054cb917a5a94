using GapFlush.Decisions;
using GapFlush.Drainage;
using GapFlush.Inputs;
using GapFlush.Plan;
using GapFlush.Readings;
using GapFlush.Seals;

namespace GapFlush.Workflows;

/// <summary>Does the rain that reaches the doors leave by the drains: every channel in every attitude of the plan, nominal or as measured.</summary>
/// <remarks>
/// A run is held against the least slope of its first point, else against the slope limits of the plan for its door, else against 0: a floor that rises to its
/// outlet does not drain itself. Ponds are held against the pond depth limits. A channel is held against the plan's rain where catchments are given.
/// </remarks>
public static class DrainPlan
{
    // A film this thick stays on a waxed or freshly painted floor (contact angle 90 degrees), whatever the slope.
    private const double FilmContactDeg = 90;

    /// <summary>Judges the channels of a plan.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="levels">Measured levels; null for the nominal channels.</param>
    /// <param name="build">Serial of the aircraft; may be null where the levels are of one build.</param>
    /// <param name="seals">The seal at the stations of each door that was read; null where none was.</param>
    /// <param name="scan">Floors found in a scan, instead of levels; null where none is given.</param>
    /// <param name="waterTests">Water tests, put beside the prediction; null where there are none. Those of other builds are left out.</param>
    /// <exception cref="ArgumentException">Levels and a scan are both given.</exception>
    public static Outcome<DrainResult> Run(FitPlan plan, LevelLog? levels = null, string? build = null, IReadOnlyDictionary<string, IReadOnlyList<SealStation>>? seals = null, ScannedChannels? scan = null,
        WaterTestLog? waterTests = null)
    {
        if (levels is not null && scan is not null) throw new ArgumentException("Give levels or a scan, not both.", nameof(scan));
        List<InputProblem> problems = [.. ChannelChecks.Problems(plan, "channels.csv")];
        if (levels is not null)
        {
            if (build is null && levels.Builds.Count > 1)
                problems.Add(new(levels.Source, 0, "build", string.Join(", ", levels.Builds), "levels of one build", "Say which one with --build."));
            else if (build is not null && !levels.Builds.Contains(build))
                problems.Add(new(levels.Source, 0, "build", string.Join(", ", levels.Builds), $"levels of build {build}", NearestName.Remedy(build, levels.Builds)));
            build ??= levels.Builds[0];
        }
        if (problems.Count > 0) return Outcome<DrainResult>.Refused(problems);

        List<string> notices = [];
        AircraftAxes? axes = AircraftAxes.Read(plan.Axes);
        if (axes is null) notices.Add($"plan.json: axes '{plan.Axes}' do not say where x, y and z point; taken as x aft, y starboard, z up.");
        IReadOnlyList<Attitude> attitudes = plan.Attitudes;
        if (attitudes.Count == 0)
        {
            attitudes = [new("level", 0, 0)];
            notices.Add("plan.json: no attitudes are given; channels are looked at level only.");
        }
        if (plan.RainMmPerH is null) notices.Add("plan.json: no rain_mm_per_h is given; channels are not held against rain.");
        if (plan.Channels.Any(c => c.Points.Any(p => p.Roughness is null))) notices.Add(Invariant($"channels.csv: where no roughness is given, n = {NetworkFlow.UsualRoughness} is taken (smooth gel coat or paint)."));
        foreach (Channel channel in plan.Channels.Where(c => plan.RainMmPerH is not null && c.Points.All(p => p.CatchmentM2 is null or 0)))
            notices.Add($"channels.csv: channel {channel.Name} has no catchment_m2; it is not held against rain.");
        if (seals is null) notices.Add("No seal readings: whether water lies beside a seal that presses too little is not said.");

        string? source = levels?.Source ?? scan?.Source, measured = source is null ? null : build;
        Channels work = new(plan, levels?.Of(build!), scan, axes ?? AircraftAxes.Usual, attitudes, seals);
        IReadOnlyList<ChannelResult> results = work.Judge();
        if (levels is not null && results.Any(r => r.Attitudes.Count > 0 && r.Attitudes[0].Water.Floor.Points.Any(p => p.HeightUncertaintyMm is null)))
            notices.Add($"{levels.Source}: heights without uncertainty or gauge; a slope within is then held against what a gauge fit for the limit could tell.");
        DrainResult result = new(plan, measured, source, attitudes, work.Rain, results, DrainRows.Of(plan, measured, source is not null, attitudes, results), notices)
        {
            SealsRead = seals?.Values.Any(s => s.Any(p => p.CompressionPercent is not null)) ?? false,
            WaterTests = WaterTestAgainstPrediction.Compare((waterTests?.Tests ?? []).Where(t => measured is null || t.Build == measured), results, door => seals?.GetValueOrDefault(door)?.Any(s => s.CompressionPercent is not null) ?? false),
        };
        return Outcome<DrainResult>.Of(result, notices);
    }

    /// <summary>The channels of one run of the workflow.</summary>
    private sealed class Channels(FitPlan plan, LevelLog? levels, ScannedChannels? scan, AircraftAxes axes, IReadOnlyList<Attitude> attitudes, IReadOnlyDictionary<string, IReadOnlyList<SealStation>>? seals)
    {
        private readonly AttitudeBox _box = AttitudeBox.Around(attitudes);
        private readonly FloorNetwork _nominal = new([.. plan.Channels.Select(c => ChannelFloor.Nominal(axes.Turn(c)))]);

        private readonly Dictionary<Attitude, StandingWater> _nominalIn = [];

        public RainIntensity? Rain { get; } = plan.RainMmPerH is double mm ? new RainIntensity(mm) : null;

        public IReadOnlyList<ChannelResult> Judge()
        {
            Dictionary<string, ChannelFloor> floors = [];
            Dictionary<string, string> reasons = [];
            foreach (Channel channel in plan.Channels)
            {
                ChannelFloor? floor = scan is not null ? scan.Floors.GetValueOrDefault(channel.Name)
                    : levels is null ? ChannelFloor.Nominal(axes.Turn(channel)) : MeasuredFloors.Of(channel, levels, axes);
                if (floor is not null) floors[channel.Name] = floor;
                else reasons[channel.Name] = scan is not null ? $"{scan.Source} has too few points on the floor of the channel" : $"fewer than two points of the channel are in {levels!.Source}";
            }
            Dictionary<string, ChannelResult> results = [];
            foreach (FloorNetwork network in FloorNetwork.Apart([.. floors.Values]))
            {
                StandingWater[] standing = [.. attitudes.Select(network.In)];
                NetworkFlow[] flows = [.. standing.Select(s => new NetworkFlow(s))];
                for (int c = 0; c < network.Floors.Count; c++) results[network.Floors[c].Channel.Name] = JudgeChannel(network, c, standing, flows);
            }
            return [.. plan.Channels.Select(c => results.GetValueOrDefault(c.Name) ?? new() { Channel = c, Box = _box, Reason = reasons[c.Name] })];
        }

        private ChannelResult JudgeChannel(FloorNetwork network, int index, StandingWater[] standing, NetworkFlow[] flows)
        {
            ChannelFloor floor = network.Floors[index];
            Channel channel = plan.Channels.First(c => c.Name == floor.Channel.Name);
            List<ChannelInAttitude> all = [.. attitudes.Select((a, i) => JudgeAttitude(channel, a, standing[i].Channels[index], flows[i].Of(index, Rain)))];
            WorstPond? depth = WorstAttitude.ForDepth(network, index, _box);
            (int Run, WorstFall Fall)? slope = WorstAttitude.ForSlope(network, index, _box);
            (Verdict? boxVerdict, string? boxReason) = (null, null);
            if (PondLimits(channel) is Limits limits && depth is not null)
            {
                Conformity held = Conformity.Judge(depth.Value, DryUncertainty(floor), 2, limits, plan.DecisionRule, 0);
                boxVerdict = held.Verdict;
                if (held.Words is not null) boxReason = Invariant($"between the attitudes, at pitch {depth.PitchDeg:0.0#} and roll {depth.RollDeg:0.0#} degrees, water stands {depth.Value:0.00} mm deep: {held.Words}");
            }
            return new()
            {
                Channel = channel,
                Attitudes = all,
                Box = _box,
                WorstDepth = depth,
                WorstVolume = WorstAttitude.ForVolume(network, index, _box),
                WorstSlope = slope is (int run, WorstFall fall) ? (floor.Points[run].Name, floor.Points[run + 1].Name, fall) : null,
                BoxVerdict = boxVerdict,
                BoxReason = boxReason,
                BoxUncertaintyMm = DryUncertainty(floor),
                Remarks = Remarks(all),
                Place = (network, index),
            };
        }

        private ChannelInAttitude JudgeAttitude(Channel channel, Attitude attitude, ChannelWater water, ChannelFlow flow)
        {
            ChannelWater nominal = Nominal(attitude).Channels[plan.Channels.ToList().IndexOf(channel)];
            (double? uncertainty, Verdict? pondVerdict, string? pondReason) = JudgePond(channel, water);
            (Verdict? flowVerdict, string? flowReason) = JudgeFlow(flow);
            return new()
            {
                Attitude = attitude,
                Water = water,
                Flow = flow,
                Runs = [.. water.Runs.Select(r => JudgeRun(channel, r, nominal.Runs.FirstOrDefault(n => n.From == r.From && n.To == r.To)?.SlopePercent))],
                PondLimits = PondLimits(channel),
                PondUncertaintyMm = uncertainty,
                PondVerdict = pondVerdict,
                PondReason = pondReason,
                FlowVerdict = flowVerdict,
                FlowReason = flowReason,
                Ingress = seals is not null && channel.Door is string code && plan.FindDoor(code) is Door door ? WaterPath.Risks(door, seals.GetValueOrDefault(code) ?? [], water, flow, Rain) : [],
            };
        }

        private StandingWater Nominal(Attitude attitude) => _nominalIn.TryGetValue(attitude, out StandingWater? known) ? known : _nominalIn[attitude] = _nominal.In(attitude);

        private RunVerdict JudgeRun(Channel channel, ChannelRun run, double? nominal)
        {
            Limits? general = plan.Limits.For(Characteristic.Slope, channel.Door)?.Limits;
            double lower = run.Floor.Points[run.Index].Plan.MinSlopePercent ?? general?.Lower ?? 0;
            Limits limits = new(lower, general?.Upper > lower ? general.Upper : null);
            if (run.TowardsLast is null) return new(run, limits, Verdict.Missing, "no outlet that was measured is reached");
            if (run.SlopePercent is not double slope)
                return run.FallMm > 0 ? new(run, limits, Verdict.Within, null) : new(run, limits, Verdict.Outside, "stands upright and rises to its outlet");
            Conformity held = Conformity.Judge(slope, 2 * run.SlopeUncertaintyPercent, 2, limits, plan.DecisionRule, nominal);
            return new(run, limits, held.Verdict, held.Words is null ? null : slope < 0 ? Invariant($"rises {-slope:0.00} % towards the outlet, {held.Words}") : Invariant($"slope {slope:0.00} %, {held.Words}"));
        }

        private Limits? PondLimits(Channel channel) => plan.Limits.For(Characteristic.PondDepth, channel.Door)?.Limits;

        private (double? Uncertainty, Verdict? Verdict, string? Reason) JudgePond(Channel channel, ChannelWater water)
        {
            Limits? limits = PondLimits(channel);
            if (water.PondDepthMm is not double depth) return (null, limits is null ? null : Verdict.Missing, "nothing that is known holds the water: no outlet is reached and no depth to a lip is given");
            Pond? deepest = water.Ponds.MaxBy(p => p.DepthMm);
            double? uncertainty = deepest is null ? DryUncertainty(water.Floor) : 2 * deepest.DepthUncertaintyMm;
            if (limits is null) return (uncertainty, null, null);
            Conformity held = Conformity.Judge(depth, uncertainty, 2, limits, plan.DecisionRule, 0);
            return (uncertainty, held.Verdict, held.Words is null ? null : Invariant($"pond {depth:0.00} mm deep at point {deepest?.LowPoint}: {held.Words}"));
        }

        /// <summary>Expanded uncertainty of the difference of two heights of a floor, mm; null where one is not known.</summary>
        private static double? DryUncertainty(ChannelFloor floor) =>
            floor.Points.Any(p => p.HeightUncertaintyMm is null) ? null : 2 * Math.Sqrt(2) * floor.Points.Max(p => p.HeightUncertaintyMm!.Value);

        private (Verdict? Verdict, string? Reason) JudgeFlow(ChannelFlow flow)
        {
            if (Rain is not RainIntensity rain || flow.InflowLPerS is not double inflow) return (null, null);
            if (flow.OverflowRainMmPerH is double over && over <= rain.MmPerH)
            {
                return (Verdict.Outside, over == 0 ? $"water goes over the lip at point {flow.OverflowAt} in any rain"
                    : Invariant($"water goes over the lip at point {flow.OverflowAt} from {over:0} mm/h on, {flow.OverflowLPerS:0.0000} L/s at {rain.MmPerH:0.#} mm/h"));
            }
            return flow.CapacityLPerS is double capacity && inflow > capacity
                ? (Verdict.Undecided, Invariant($"inflow {inflow:0.0000} L/s is more than {flow.CapacitySetBy} carries by Manning ({capacity:0.0000} L/s), though the drawn-down surface stays under the lip"))
                : flow.OverflowRainMmPerH is null && flow.CapacityLPerS is null ? (null, null) : (Verdict.Within, null);
        }

        private static List<string> Remarks(List<ChannelInAttitude> all)
        {
            List<string> remarks = [];
            double film = Water.At20C.PuddleThicknessMm(FilmContactDeg);
            foreach (HoleInChannel hole in all[0].Flow.Holes.Where(h => h.HoldUpMm > 3))
                remarks.Add(Invariant($"hole {hole.Point}: surface tension may hold {hole.HoldUpMm:0.0} mm of water over a {hole.DiameterMm:0.#} mm hole; no fault of slope. A larger hole or a drip tube lets it go."));
            if (all.Where(a => a.Water.FallMm is >= 0 && a.Water.FallMm < film && a.Water.Ponds.Count == 0).MinBy(a => a.Water.FallMm) is ChannelInAttitude level)
                remarks.Add(Invariant($"{level.Attitude.Name}: the floor falls only {level.Water.FallMm:0.0} mm in all; a film of up to {film:0.0} mm can stay on it whatever the slope."));
            if (all.Any(a => a.Flow.IsGuess))
                remarks.Add(Invariant($"flow: Reynolds number down to {all.Min(a => a.Flow.Reynolds):0}, below {UniformFlow.LeastReynoldsForManning:0}: Manning is a guess there; smooth-wall friction asks for {all.Where(a => a.Flow.IsGuess).MinBy(a => a.Flow.Reynolds)!.Flow.SmoothWallSlopePercent:0.00} % where {all.Where(a => a.Flow.IsGuess).MinBy(a => a.Flow.Reynolds)!.Flow.CapacitySlopePercent:0.00} % is there."));
            foreach (ChannelInAttitude at in all)
            {
                foreach (FloorPoint outlet in at.Water.Floor.Points.Where(p => p.IsOutlet && all.All(a => a.Water.Runs.All(r => r.DrainsTo != $"{a.Water.Floor.Channel.Name}/{p.Name}"))))
                {
                    string remark = $"outlet {outlet.Name}: no water of this channel reaches it in any attitude.";
                    if (!remarks.Contains(remark)) remarks.Add(remark);
                }
            }
            return remarks;
        }
    }
}
