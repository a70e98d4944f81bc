#include "trial/judge.hpp"

#include <algorithm>
#include <array>

#include "trial/laps.hpp"
#include "trial/time_spans.hpp"

namespace hushmill::trial {
namespace {

constexpr double kAtTheChangeS = 0.1;    // rose so shortly before the change: a frame cannot tell on which side
constexpr double kQuietBetweenS = 0.25;  // of cut, parts two chatters within a trial
constexpr double kQuietFirstS = 1.0;     // of cut since the settling, before chatter heard earlier has come back
constexpr double kPassCutS = 0.2;        // less cut between two marks is no pass

struct Chatter {
  TimeSpan span;
  double hz = 0;
  bool raised = false;  // within the stretch
};

bool ended_at_change(const listen::Episode& episode, const Stretch& stretch) {
  return episode.start_s > stretch.to_s - kAtTheChangeS && episode.alert_s > stretch.to_s && !stretch.running;
}

// The findings are in order of time, so the ones that matter stand at the end.
std::vector<Chatter> chatter_between(const listen::Findings& findings, const Stretch& stretch, double from_s) {
  std::vector<Chatter> found;
  for (auto episode = findings.episodes.rbegin(); episode != findings.episodes.rend(); ++episode) {
    const double end_s = episode->open ? std::max(episode->end_s, stretch.to_s) : episode->end_s;
    if (!episode->open && end_s < from_s) break;
    if (ended_at_change(*episode, stretch)) continue;
    const TimeSpan part = common(TimeSpan{episode->start_s, end_s}, {from_s, stretch.to_s});
    // An episode that goes on over a change of speed has another tone there.
    const bool across = episode->start_s < stretch.from_s || (end_s > stretch.to_s && !stretch.running);
    const double hz = across && stretch.chatter_hz > 0 ? stretch.chatter_hz : episode->chatter_hz;
    if (part.length_s() > 0)
      found.push_back({part, hz, episode->alert_s >= stretch.from_s && episode->alert_s <= stretch.to_s});
  }
  std::reverse(found.begin(), found.end());
  return found;
}

// Where sound is missing nothing was heard: that is no quiet cut.
void leave_out(std::vector<TimeSpan>& cuts, const std::vector<listen::TornStretch>& torn) {
  std::vector<TimeSpan> whole;
  for (TimeSpan cut : cuts) {
    auto one = std::partition_point(torn.begin(), torn.end(), [&](const auto& t) { return t.to_s <= cut.from_s; });
    for (; one != torn.end() && one->from_s < cut.to_s; ++one) {
      if (one->from_s > cut.from_s) whole.push_back({cut.from_s, one->from_s});
      cut.from_s = std::min(cut.to_s, one->to_s);
    }
    if (cut.length_s() > 0) whole.push_back(cut);
  }
  cuts = std::move(whole);
}

std::vector<TimeSpan> cuts_between(const listen::Findings& findings, double from_s, double to_s) {
  std::vector<TimeSpan> found;
  for (auto cut = findings.cuts.rbegin(); cut != findings.cuts.rend(); ++cut) {
    const double end_s = cut->end_s < 0 ? to_s : cut->end_s;
    if (end_s < from_s) break;
    const TimeSpan part = common(TimeSpan{cut->start_s, end_s}, {from_s, to_s});
    if (part.length_s() > 0) found.push_back(part);
  }
  std::reverse(found.begin(), found.end());
  if (!findings.torn.empty()) leave_out(found, findings.torn);
  return found;
}

// Where the judging begins: after the settling, or after chatter from before the change that took a little longer.
double judged_from(const Stretch& stretch, const listen::Findings& findings, const Rules& rules) {
  if (stretch.first) return stretch.from_s;
  const double there_s = std::max(stretch.from_s, stretch.arrived_s.value_or(stretch.from_s));
  const double settled_s = std::max(stretch.from_s + rules.settle_s, there_s);
  double from_s = settled_s;
  for (auto episode = findings.episodes.rbegin(); episode != findings.episodes.rend(); ++episode) {
    if (episode->open) {
      // Still open: whether it is dying away shows within the second.
      if (stretch.running && episode->start_s < there_s && stretch.to_s <= settled_s + kDieAwayS)
        from_s = std::max(from_s, stretch.to_s);
      continue;
    }
    if (episode->end_s < settled_s) break;
    const bool ran_on = episode->start_s < there_s + kAtTheChangeS;
    if (ran_on && episode->end_s <= settled_s + kDieAwayS) from_s = std::max(from_s, episode->end_s);
  }
  return std::min(from_s, stretch.to_s);
}

bool heard_before(const listen::Findings& findings, const Stretch& stretch) {
  const auto first = std::lower_bound(findings.episodes.begin(), findings.episodes.end(), stretch.set_up_since_s,
                                      [](const listen::Episode& e, double t_s) { return e.start_s < t_s; });
  return first != findings.episodes.end() && first->start_s < stretch.from_s;
}

double quiet_between(std::span<const TimeSpan> cuts, const std::vector<Chatter>& chatters, const TimeSpan& window) {
  double quiet_s = within_s(cuts, window);
  // In order, and one at a time: a long session has thousands.
  auto chatter = std::partition_point(chatters.begin(), chatters.end(), [&](const Chatter& one) { return one.span.to_s <= window.from_s; });
  for (; chatter != chatters.end() && chatter->span.from_s < window.to_s; ++chatter) quiet_s -= within_s(cuts, common(chatter->span, window));
  return std::max(0.0, quiet_s);
}

void find_returns(Trial& trial, std::span<const TimeSpan> cuts, const std::vector<Chatter>& chatters) {
  bool before = trial.was_chattering;
  double quiet_since_s = trial.judged_from_s;
  double enough_s = kQuietFirstS;
  for (const Chatter& chatter : chatters) {
    const double quiet_s = quiet_between(cuts, chatters, {quiet_since_s, chatter.span.from_s});
    if (before && quiet_s >= enough_s)
      trial.returns.push_back({chatter.span.from_s, chatter.span.length_s(), chatter.hz, quiet_s});
    before = true;
    enough_s = kQuietBetweenS;
    quiet_since_s = chatter.span.to_s;
  }
  trial.quiet_run_s = quiet_between(cuts, chatters, {quiet_since_s, trial.to_s});
}

int count_passes(std::span<const double> marks_s, std::span<const TimeSpan> cuts, const Trial& trial) {
  int passes = 0;
  for (std::size_t i = 1; i < marks_s.size(); i += 2) {
    const TimeSpan pass{marks_s[i - 1], marks_s[i]};
    if (pass.from_s >= trial.judged_from_s && pass.to_s <= trial.to_s && within_s(cuts, pass) >= kPassCutS) ++passes;
  }
  return passes;
}

std::vector<PlaceResult> judge_places(const Trial& trial, std::span<const TimeSpan> cuts,
                                      const std::vector<Chatter>& chatters, std::span<const Tag> tags) {
  struct Tally {
    double cut_s = 0, quiet_s = 0, chatter_s = 0;
    bool came_back = false;
  };
  std::array<Tally, kPlaces.size()> tallies{};
  for (const Tag& tag : laid_out(tags, trial.judged_from_s, trial.to_s)) {
    Tally& tally = tallies[static_cast<std::size_t>(tag.place)];
    const TimeSpan window{tag.from_s, tag.to_s};
    tally.cut_s += within_s(cuts, window);
    tally.quiet_s += quiet_between(cuts, chatters, window);
    for (const Chatter& chatter : chatters) tally.chatter_s += common(chatter.span, window).length_s();
    for (const Return& back : trial.returns)
      tally.came_back = tally.came_back || common(TimeSpan{back.at_s, back.at_s + back.for_s}, window).length_s() > 0;
  }
  std::vector<PlaceResult> results;
  for (const Place place : kPlaces) {
    const Tally& tally = tallies[static_cast<std::size_t>(place)];
    if (!(tally.cut_s + tally.chatter_s > 0)) continue;
    PlaceResult result{place, Outcome::not_enough, tally.quiet_s, tally.chatter_s};
    if (tally.chatter_s > 0)
      result.outcome = tally.came_back ? Outcome::returned : Outcome::chattered;
    else if (tally.quiet_s >= trial.wanted_s && trial.proves_quiet())
      result.outcome = Outcome::held;
    results.push_back(result);
  }
  return results;
}

}  // namespace

std::string_view word(Outcome outcome) noexcept {
  switch (outcome) {
    case Outcome::held:
      return "held";
    case Outcome::returned:
      return "returned";
    case Outcome::chattered:
      return "chattered";
    case Outcome::not_enough:
      return "not_enough";
  }
  return "";
}

std::vector<Tag> laid_out(std::span<const Tag> tags, double from_s, double to_s) {
  std::vector<double> edges{from_s, to_s};
  for (const Tag& tag : tags)
    for (const double edge_s : {tag.from_s, tag.to_s})
      if (edge_s > from_s && edge_s < to_s) edges.push_back(edge_s);
  std::sort(edges.begin(), edges.end());
  std::vector<Tag> parts;
  for (std::size_t i = 1; i < edges.size(); ++i) {
    const double middle_s = (edges[i - 1] + edges[i]) / 2;
    const Tag* last = nullptr;
    for (const Tag& tag : tags)
      if (middle_s >= tag.from_s && middle_s < tag.to_s) last = &tag;
    if (last == nullptr || !(edges[i] > edges[i - 1])) continue;
    if (!parts.empty() && parts.back().place == last->place && parts.back().to_s == edges[i - 1])
      parts.back().to_s = edges[i];
    else
      parts.push_back({edges[i - 1], edges[i], last->place});
  }
  return parts;
}

Trial judge(const Stretch& stretch, const listen::Findings& findings, const Rules& rules,
            std::span<const double> marks_s, std::span<const Tag> tags) {
  Trial trial;
  trial.from_s = stretch.from_s;
  trial.to_s = stretch.to_s;
  trial.running = stretch.running;
  trial.set_up = stretch.set_up;
  trial.spindle_rpm = stretch.spindle_rpm;
  trial.measured_rpm = stretch.measured_rpm;
  trial.heard_as = stretch.heard_as;
  trial.heard_as_since_s = stretch.heard_as_since_s;
  trial.speed_heard = stretch.speed_heard;
  trial.wanted_s = rules.hold_s;
  trial.pass_needed = rules.pass_needed;
  trial.was_chattering = heard_before(findings, stretch);
  trial.judged_from_s = judged_from(stretch, findings, rules);
  if (trial.judged_from_s >= trial.to_s) return trial;

  const auto cuts = cuts_between(findings, trial.judged_from_s, trial.to_s);
  const auto chatters = chatter_between(findings, stretch, trial.judged_from_s);
  trial.cut_s = within_s(cuts, {trial.judged_from_s, trial.to_s});
  trial.quiet_s = quiet_between(cuts, chatters, {trial.judged_from_s, trial.to_s});
  std::vector<double> onsets_s;
  for (const Chatter& chatter : chatters) {
    trial.chatter_s += chatter.span.length_s();
    trial.chatter_hz = chatter.hz;
    if (chatter.raised && chatter.hz > 0) trial.raised_hz = chatter.hz;
    onsets_s.push_back(chatter.span.from_s);
  }
  if (!onsets_s.empty()) trial.first_chatter_s = onsets_s.front();
  find_returns(trial, cuts, chatters);
  if (!trial.returns.empty()) trial.laps = find_laps(onsets_s);
  trial.passes = count_passes(marks_s, cuts, trial);

  if (!trial.returns.empty())
    trial.outcome = Outcome::returned;
  else if (!chatters.empty())
    trial.outcome = Outcome::chattered;
  else if (trial.quiet_s >= rules.hold_s && trial.proves_quiet() && (!rules.pass_needed || trial.passes > 0))
    trial.outcome = Outcome::held;
  trial.places = judge_places(trial, cuts, chatters, tags);
  return trial;
}

}  // namespace hushmill::trial
