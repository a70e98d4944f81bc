#include "trial/trial_book.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace hushmill::trial {
namespace {

constexpr double kHeldBackS = 1.25;  // by then the findings have dated the row: chatter is gone after 0.4 s, a cut after 0.25 s
constexpr double kFinalAfterS = 3;
constexpr double kRowEveryS = 0.031;  // the snapshot's spectrum is renewed every third hop
constexpr double kSameMomentS = 0.02;
constexpr double kPressedTwiceS = 1;  // no lap or pass is so short
constexpr double kDoubtedS = 1;
constexpr double kAgreedS = 0.3;    // a chance fit is gone sooner
constexpr double kAgrees = 0.02;    // relative: a spindle is at most this far off what is shown
constexpr std::size_t kMostTrials = 1000;
constexpr std::size_t kRecent = 64;  // among them the one that chattered is looked for while a trial runs: asked often
// Rows beside chatter are neither: it grows in and rings out.
constexpr double kBeforeChatterS = 0.2;
constexpr double kAfterChatterS = 0.3;
constexpr double kGrownS = 0.1;
constexpr double kBesideCutEndS = 0.1;

enum class RowKind { air, beside, quiet, chatter };

RowKind kind_of(double t_s, const listen::Findings& findings) {
  for (auto episode = findings.episodes.rbegin(); episode != findings.episodes.rend(); ++episode) {
    if (t_s > episode->start_s + kGrownS && t_s < episode->end_s) return RowKind::chatter;
    if (t_s > episode->start_s - kBeforeChatterS && t_s < episode->end_s + kAfterChatterS) return RowKind::beside;
    if (episode->end_s + kAfterChatterS < t_s) break;
  }
  for (auto cut = findings.cuts.rbegin(); cut != findings.cuts.rend(); ++cut) {
    if (cut->end_s >= 0 && cut->end_s < t_s) break;
    if (t_s > cut->start_s + kBesideCutEndS && (cut->end_s < 0 || t_s < cut->end_s - kBesideCutEndS)) return RowKind::quiet;
  }
  return RowKind::air;
}

std::optional<Place> place_at(std::span<const Tag> tags, double t_s) {
  for (auto tag = tags.rbegin(); tag != tags.rend(); ++tag)
    if (t_s >= tag->from_s && t_s < tag->to_s) return tag->place;
  return std::nullopt;
}

double tone_of(const Trial& trial, double since_s, const listen::Findings& findings) {
  if (trial.chatter_hz > 0) return trial.chatter_hz;
  for (auto episode = findings.episodes.rbegin(); episode != findings.episodes.rend(); ++episode)
    if (episode->start_s < trial.to_s) return episode->start_s >= since_s ? episode->chatter_hz : 0;
  return 0;
}

// Against the latest trial before it, on the same cut, that chattered.
void compare(Trial& trial, std::span<const Trial> before) {
  trial.compared.reset();
  // What came back is held against what was there before by its chatter, not its quiet part: that would look like a cure.
  const bool chattered = trial.outcome == Outcome::chattered || trial.outcome == Outcome::returned;
  const auto after_of = [&](const auto& one) { return chattered ? one.chatter : one.quiet; };
  for (std::size_t i = before.size(); i-- > 0;) {
    const Trial& other = before[i];
    if (other.set_up != trial.set_up) return;
    if (!other.chatter || !other.believed()) continue;
    Comparison comparison;
    comparison.trial = other.number;
    double longest_s = 0;
    for (const PlaceResult& here : trial.places)
      for (const PlaceResult& there : other.places)
        if (here.place == there.place && there.chatter && after_of(here) && there.chatter->over_s > longest_s) {
          longest_s = there.chatter->over_s;
          comparison.place = here.place;
          comparison.before = *there.chatter;
          comparison.after = *after_of(here);
        }
    if (!comparison.place) {
      if (!after_of(trial)) return;
      comparison.before = *other.chatter;
      comparison.after = *after_of(trial);
    }
    trial.compared = comparison;
    return;
  }
}

}  // namespace

void TrialBook::begin(double from_s, double spindle_rpm) {
  Open next;
  next.stretch.first = open_.empty() && done_.empty();
  if (!open_.empty()) {
    Stretch& ended = open_.back().stretch;
    ended.to_s = from_s;
    ended.running = false;
    if (from_s - ended.from_s < kSameMomentS) {  // nothing lies between two changes at one moment
      next.stretch.first = ended.first;
      open_.pop_back();
    }
  }
  next.stretch.from_s = from_s;
  next.stretch.to_s = from_s;
  next.stretch.running = true;
  next.stretch.set_up = set_up_;
  next.stretch.set_up_since_s = set_up_since_s_;
  next.stretch.spindle_rpm = spindle_rpm;
  open_.push_back(std::move(next));
}

void TrialBook::new_set_up(double t_s) {
  if (marks_s_.size() % 2 == 1) marks_s_.pop_back();  // that lap ends on another cut
  set_up_before_ = {set_up_, set_up_since_s_};
  set_up_ = ++set_ups_;
  set_up_since_s_ = t_s;
  if (!open_.empty() && open_.back().stretch.running) begin(t_s, open_.back().stretch.spindle_rpm);
}

void TrialBook::old_set_up(double t_s) {
  std::tie(set_up_, set_up_since_s_) = set_up_before_;
  if (!open_.empty() && open_.back().stretch.running) begin(t_s, open_.back().stretch.spindle_rpm);
}

void TrialBook::mark(double t_s) {
  if (marks_s_.empty() || t_s - marks_s_.back() >= kPressedTwiceS) marks_s_.push_back(t_s);
}

void TrialBook::tag(double t_s, std::optional<Place> place) {
  constexpr double kForEver = 1e12;
  if (place_now_ && !tags_.empty()) tags_.back().to_s = t_s;
  place_now_ = place;
  if (place) tags_.push_back({t_s, kForEver, *place});
}

void TrialBook::follow_stretches(const listen::Snapshot& snapshot, const listen::Findings& findings) {
  for (; stretches_ < findings.stretches.size(); ++stretches_) {
    const listen::SpeedStretch& stretch = findings.stretches[stretches_];
    double from_s = stretch.from_s;
    if (!open_.empty()) {
      Open& ended = open_.back();
      const auto& measured = findings.stretches[stretches_ - 1].measured_rpm;
      if (measured) ended.stretch.measured_rpm = measured;
      ended.stretch.chatter_hz = findings.stretches[stretches_ - 1].chatter_hz;
      if (next_began_s_ && *next_began_s_ > ended.stretch.from_s && *next_began_s_ < from_s) {
        from_s = *next_began_s_;  // what was doubted since then was the new speed
        ended.doubted_s = 0;
        ended.doubted_since_s = 0;
        ended.doubted_now = false;
      }
    }
    next_began_s_.reset();
    begin(from_s, stretch.entered_rpm);
  }
  open_.back().flutes = snapshot.flutes;
  Stretch& now = open_.back().stretch;
  now.to_s = std::max(now.to_s, snapshot.t_s);
  if (snapshot.measured_rpm) now.measured_rpm = snapshot.measured_rpm;
  now.chatter_hz = findings.stretches.back().chatter_hz;
  const auto& arrived_s = findings.stretches.back().arrived_s;
  if (arrived_s && *arrived_s > now.from_s) now.arrived_s = arrived_s;
}

void TrialBook::note_doubt(const listen::Snapshot& snapshot, const listen::Findings& findings) {
  Open& now = open_.back();
  const auto fit = heard_instead(findings);
  if (fit && !now.doubted_now) now.doubted_since_s = snapshot.t_s;
  now.doubted_now = fit.has_value();
  if (!fit) return;
  now.fit = fit;
  now.doubted_s += std::max(0.0, snapshot.t_s - std::max(last_s_, now.stretch.from_s));
}

void TrialBook::note_agreement(const listen::Snapshot& snapshot) {
  Open& now = open_.back();
  if (!snapshot.measured_rpm || snapshot.verdict == listen::Verdict::no_cut) return;
  if (std::abs(*snapshot.measured_rpm / now.stretch.spindle_rpm - 1) > kAgrees) return;
  now.agreed_s += std::max(0.0, snapshot.t_s - std::max(last_s_, now.stretch.from_s));
}

void TrialBook::hold_back(const listen::Snapshot& snapshot) {
  const bool cutting = snapshot.verdict != listen::Verdict::no_cut;
  if (cutting && (!in_cut_ || room_dbfs_.size() != snapshot.spectrum_dbfs.size())) room_dbfs_ = snapshot.room_dbfs;
  in_cut_ = cutting;
  if (!cutting || !(snapshot.bin_hz > 0)) return;
  Row row;
  row.t_s = snapshot.t_s - 0.5 / snapshot.bin_hz;  // the middle of the frame
  if (!rows_.empty() && row.t_s - rows_.back().t_s < kRowEveryS && row.t_s >= rows_.back().t_s) return;
  row.total_dbfs = snapshot.level_dbfs;
  row.bin_hz = snapshot.bin_hz;
  if (!spare_.empty()) {
    row.spectrum_dbfs = std::move(spare_.back());
    spare_.pop_back();
  }
  row.spectrum_dbfs.assign(snapshot.spectrum_dbfs.begin(), snapshot.spectrum_dbfs.end());
  rows_.push_back(std::move(row));
}

void TrialBook::sort_row(const Row& row, const listen::Findings& findings) {
  const auto home = std::find_if(open_.rbegin(), open_.rend(), [&](const Open& open) { return open.stretch.from_s <= row.t_s; });
  if (home == open_.rend()) return;
  if (!home->stretch.first && row.t_s < home->stretch.from_s + rules_.settle_s) return;
  const RowKind kind = kind_of(row.t_s, findings);
  if (kind != RowKind::quiet && kind != RowKind::chatter) return;
  const bool chatter = kind == RowKind::chatter;
  home->sums[{-1, chatter}].add(row.spectrum_dbfs, row.bin_hz, row.total_dbfs, kRowEveryS);
  if (const auto place = place_at(tags_, row.t_s))
    home->sums[{static_cast<int>(*place), chatter}].add(row.spectrum_dbfs, row.bin_hz, row.total_dbfs, kRowEveryS);
}

void TrialBook::sort_rows(double until_s, const listen::Findings& findings) {
  while (!rows_.empty() && rows_.front().t_s <= until_s) {
    sort_row(rows_.front(), findings);
    spare_.push_back(std::move(rows_.front().spectrum_dbfs));
    rows_.pop_front();
  }
}

void TrialBook::add_levels(Trial& trial, const Open& open, const listen::Findings& findings) const {
  const double tone_hz = tone_of(trial, open.stretch.set_up_since_s, findings);
  const double tooth_hz = trial.heard_as ? trial.heard_as->spindle_rpm * trial.heard_as->flutes / 60
                                         : trial.measured_rpm.value_or(trial.spindle_rpm) * open.flutes / 60;
  const auto levels = [&](int place, bool chatter) -> std::optional<Levels> {
    const auto sums = open.sums.find({place, chatter});
    // Chatter that only died away after a change is the change's.
    if (sums == open.sums.end() || (chatter && !(trial.chatter_s > 0))) return std::nullopt;
    return sums->second.levels(tone_hz, tooth_hz, room_dbfs_);
  };
  trial.quiet = levels(-1, false);
  trial.chatter = levels(-1, true);
  for (PlaceResult& place : trial.places) {
    place.quiet = levels(static_cast<int>(place.place), false);
    place.chatter = levels(static_cast<int>(place.place), true);
  }
}

Trial TrialBook::trial_of(const Open& open, const listen::Findings& findings) const {
  Stretch stretch = open.stretch;
  if (open.fit && (open.doubted_now || open.doubted_s >= kDoubtedS)) {
    stretch.heard_as = open.fit;
    stretch.heard_as_since_s = open.doubted_since_s;
  }
  stretch.speed_heard = open.agreed_s >= kAgreedS;
  // Only what lies in the stretch is looked through.
  auto first_mark = std::lower_bound(marks_s_.begin(), marks_s_.end(), stretch.from_s);
  if ((first_mark - marks_s_.begin()) % 2 == 1 && first_mark != marks_s_.end()) ++first_mark;  // the end of what began before
  std::vector<Tag> tags;
  for (const Tag& tag : tags_)
    if (tag.to_s > stretch.from_s && tag.from_s < stretch.to_s) tags.push_back(tag);
  Trial trial = judge(stretch, findings, rules_, std::span(first_mark, marks_s_.end()), tags);
  trial.pass_begun = marks_s_.size() % 2 == 1 && marks_s_.back() >= trial.judged_from_s && marks_s_.back() <= trial.to_s;
  add_levels(trial, open, findings);
  return trial;
}

void TrialBook::keep(Trial trial) {
  trial.number = static_cast<int>(ended()) + 1;
  compare(trial, done_);
  done_.push_back(std::move(trial));
  if (done_.size() <= kMostTrials) return;
  done_.erase(done_.begin());
  ++forgotten_;
}

void TrialBook::settle_up(double until_s, const listen::Findings& findings) {
  while (!open_.empty() && !open_.front().stretch.running && open_.front().stretch.to_s <= until_s) {
    keep(trial_of(open_.front(), findings));
    open_.pop_front();
  }
}

void TrialBook::process(const listen::Snapshot& snapshot, const listen::Findings& findings) {
  follow_stretches(snapshot, findings);
  if (snapshot.t_s <= last_s_) return;
  knob_.process(snapshot);
  note_doubt(snapshot, findings);
  note_agreement(snapshot);
  hold_back(snapshot);
  sort_rows(snapshot.t_s - kHeldBackS, findings);
  settle_up(snapshot.t_s - kFinalAfterS, findings);
  last_s_ = snapshot.t_s;
}

void TrialBook::finish(const listen::Findings& findings) {
  if (open_.empty()) {
    for (; stretches_ < findings.stretches.size(); ++stretches_)
      begin(findings.stretches[stretches_].from_s, findings.stretches[stretches_].entered_rpm);
  }
  if (open_.empty()) return;
  Stretch& last = open_.back().stretch;
  last.running = false;
  last.to_s = std::max(last.from_s, findings.stretches.back().to_s);
  last.measured_rpm = findings.stretches.back().measured_rpm;
  sort_rows(last.to_s + 1, findings);
  settle_up(last.to_s, findings);
}

std::vector<Trial> TrialBook::last_trials(const listen::Findings& findings, std::size_t most) const {
  std::vector<Trial> all;
  const std::size_t kept = std::min(done_.size(), most);
  all.assign(done_.end() - static_cast<std::ptrdiff_t>(kept), done_.end());
  int number = static_cast<int>(ended());
  for (const Open& open : open_) {
    Trial trial = trial_of(open, findings);
    trial.number = ++number;
    compare(trial, all);
    all.push_back(std::move(trial));
  }
  return all;
}

std::optional<Trial> TrialBook::running(const listen::Findings& findings) const {
  if (open_.empty() || !open_.back().stretch.running) return std::nullopt;
  return last_trials(findings, kRecent).back();
}

std::vector<Trial> TrialBook::trials(const listen::Findings& findings) const { return last_trials(findings, done_.size()); }

}  // namespace hushmill::trial
