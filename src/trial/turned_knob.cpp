#include "trial/turned_knob.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::trial {
namespace {

constexpr double kLinesEveryS = 0.042;  // the listener's peaks are renewed that often
constexpr double kWindowS = 1.5;
constexpr double kLookEveryS = 0.25;
constexpr int kLooks = 2;  // in a row that agree
constexpr double kStandsFor = 0.75;  // part of the rows in which a line must stand
constexpr double kSameLineHz = 1.2;
constexpr double kHighestLineHz = 4000;
constexpr double kLowestLineHz = 60;
constexpr double kOverRoomDb = 6;
constexpr std::size_t kLeastLines = 4;
constexpr double kReachHz = 1.5;
constexpr double kReachShare = 0.0004;  // half a step of the search
constexpr double kOnComb = 0.9;         // chance that a line of the cut is on its comb
constexpr double kToothThere = 0.75;
constexpr double kSlip = 0.02;  // a spindle is at most this far off what is shown
constexpr double kLeastRatio = 0.45, kMostRatio = 2.2, kRatioStep = 0.0005;
constexpr double kMarginNats = 12;
constexpr double kOffStepNats = 6;  // the knob has steps; any other speed must have been typed at the control
constexpr double kKnobStep = 0.1;
constexpr double kAtTheStep = 0.008;
constexpr double kExplained = 0.6;       // of the lines, by the other speed
constexpr double kStillExplained = 0.34;  // by the entered one: with more it has not gone away, and something else came up beside it
constexpr double kSameAnswer = 0.005;

double reach_hz(double hz) noexcept { return kReachHz + kReachShare * hz; }

bool on(double hz, double spacing_hz) noexcept {
  const double order = std::nearbyint(hz / spacing_hz);
  return order >= 1 && std::abs(hz - order * spacing_hz) <= reach_hz(hz);
}

double explained(const std::vector<TurnedKnob::Line>& lines, double rotation_hz) noexcept {
  const auto count = std::count_if(lines.begin(), lines.end(), [&](const auto& line) { return on(line.hz, rotation_hz); });
  return static_cast<double>(count) / static_cast<double>(lines.size());
}

// Least squares over the lines on the comb.
double refined(const std::vector<TurnedKnob::Line>& lines, double spindle_rpm) noexcept {
  double above = 0, below = 0;
  for (const auto& line : lines) {
    if (!on(line.hz, spindle_rpm / 60)) continue;
    const double order = std::nearbyint(line.hz * 60 / spindle_rpm);
    above += order * line.hz;
    below += order * order;
  }
  return below > 0 ? 60 * above / below : spindle_rpm;
}

bool at_a_step(double ratio) noexcept {
  for (const double steps : {ratio / kKnobStep, 1 / ratio / kKnobStep})
    if (std::abs(std::nearbyint(steps) / steps - 1) <= kAtTheStep) return true;
  return false;
}

}  // namespace

double TurnedKnob::nats(const std::vector<Line>& lines, double spindle_rpm, int flutes) noexcept {
  const double rotation_hz = spindle_rpm / 60;
  const double tooth_hz = rotation_hz * flutes;
  double sum = 0;
  double highest_hz = 0;
  for (const Line& line : lines) {
    const double chance = std::min(0.5, 2 * reach_hz(line.hz) / rotation_hz);
    sum += on(line.hz, rotation_hz) ? std::log(kOnComb / chance) : std::log((1 - kOnComb) / (1 - chance));
    highest_hz = std::max(highest_hz, line.hz);
  }
  for (int k = 1; k * tooth_hz <= highest_hz + kReachHz; ++k) {
    const bool there = std::any_of(lines.begin(), lines.end(), [&](const Line& line) { return std::abs(line.hz - k * tooth_hz) <= reach_hz(line.hz); });
    const double chance = std::min(0.5, static_cast<double>(lines.size()) * 2 * kReachHz / highest_hz);
    sum += there ? std::log(kToothThere / chance) : std::log((1 - kToothThere) / (1 - chance));
  }
  return sum;
}

void TurnedKnob::forget() noexcept {
  rows_.clear();
  last_.reset();
  heard_.reset();
  agreeing_ = 0;
}

void TurnedKnob::add_row(const listen::Snapshot& snapshot) {
  Row row;
  row.t_s = snapshot.t_s;
  for (const listen::Peak& peak : snapshot.peaks) {
    if (peak.hz > kHighestLineHz || peak.hz < kLowestLineHz) continue;
    const auto bin = snapshot.bin_hz > 0 ? static_cast<std::size_t>(std::lround(peak.hz / snapshot.bin_hz)) : 0;
    if (bin < snapshot.room_dbfs.size() && peak.dbfs < static_cast<double>(snapshot.room_dbfs[bin]) + kOverRoomDb) continue;
    row.lines.push_back({peak.hz, peak.dbfs});
  }
  rows_.push_back(std::move(row));
  while (rows_.front().t_s < snapshot.t_s - kWindowS) rows_.pop_front();
}

std::vector<TurnedKnob::Line> TurnedKnob::standing() const {
  struct Seen {
    double hz, dbfs;
    std::size_t row;
  };
  std::vector<Seen> seen;
  for (std::size_t i = 0; i < rows_.size(); ++i)
    for (const Line& line : rows_[i].lines) seen.push_back({line.hz, line.dbfs, i});
  std::sort(seen.begin(), seen.end(), [](const Seen& a, const Seen& b) { return a.hz < b.hz; });
  std::vector<Line> lines;
  std::vector<char> rows(rows_.size());
  for (std::size_t from = 0; from < seen.size();) {
    // The densest place within reach of the first: noise beside a line must not pull it away.
    std::size_t to = from;
    std::fill(rows.begin(), rows.end(), char{0});
    double hz = 0, dbfs = 0;
    std::size_t count = 0;
    while (to < seen.size() && seen[to].hz <= seen[from].hz + 2 * kSameLineHz) {
      hz += seen[to].hz;
      dbfs += seen[to].dbfs;
      if (rows[seen[to].row] == 0) ++count;
      rows[seen[to].row] = 1;
      ++to;
    }
    const auto all = static_cast<double>(to - from);
    if (static_cast<double>(count) >= kStandsFor * static_cast<double>(rows_.size())) {
      lines.push_back({hz / all, dbfs / all});
      from = to;
    } else {
      ++from;
    }
  }
  return lines;
}

std::optional<listen::OtherFit> TurnedKnob::look(const listen::Snapshot& snapshot) const {
  const auto lines = standing();
  if (lines.size() < kLeastLines) return std::nullopt;
  double entered = -1e300, entered_explains = 0, best = -1e300, best_rpm = 0;
  for (double ratio = kLeastRatio; ratio <= kMostRatio; ratio += kRatioStep) {
    const double rpm = snapshot.entered_rpm * ratio;
    double fit = nats(lines, rpm, snapshot.flutes);
    if (std::abs(ratio - 1) <= kSlip) {
      entered = std::max(entered, fit);
      entered_explains = std::max(entered_explains, explained(lines, rpm / 60));
      continue;
    }
    if (!at_a_step(ratio)) fit -= kOffStepNats;
    if (fit > best) {
      best = fit;
      best_rpm = rpm;
    }
  }
  if (entered_explains >= kStillExplained || best < kMarginNats || best < entered + kMarginNats) return std::nullopt;
  if (explained(lines, best_rpm / 60) < kExplained) return std::nullopt;
  return listen::OtherFit{refined(lines, best_rpm), snapshot.flutes};
}

void TurnedKnob::process(const listen::Snapshot& snapshot) {
  if (snapshot.entered_rpm != entered_rpm_ || snapshot.flutes != flutes_) {
    forget();
    entered_rpm_ = snapshot.entered_rpm;
    flutes_ = snapshot.flutes;
  }
  if (snapshot.verdict == listen::Verdict::no_cut || snapshot.verdict == listen::Verdict::chatter) {
    rows_.clear();  // lines of chatter stand still, too; what was heard stands until a quiet cut says otherwise
    next_row_s_ = 0;
    return;
  }
  if (snapshot.t_s < next_row_s_) return;
  next_row_s_ = snapshot.t_s + kLinesEveryS;
  add_row(snapshot);
  if (snapshot.t_s < next_look_s_ || rows_.back().t_s - rows_.front().t_s < 0.9 * kWindowS) return;
  next_look_s_ = snapshot.t_s + kLookEveryS;
  // A comb that the listener holds is there, whatever else stands beside it: hum, or the machine next door.
  const bool held = snapshot.measured_rpm && std::abs(*snapshot.measured_rpm / snapshot.entered_rpm - 1) <= kSlip;
  const auto found = held ? std::nullopt : look(snapshot);
  const bool same = found.has_value() == last_.has_value() && (!found || std::abs(found->spindle_rpm / last_->spindle_rpm - 1) < kSameAnswer);
  agreeing_ = same ? agreeing_ + 1 : 1;
  last_ = found;
  if (agreeing_ >= kLooks) heard_ = found;
}

}  // namespace hushmill::trial
