#include "lessons/lobes.hpp"

#include <algorithm>
#include <cmath>

#include "cutting/stability_chart.hpp"

namespace hushmill::lessons {
namespace {

constexpr double kFromRpm = 3000, kToRpm = 10000, kDeepestMm = 5;
constexpr int kSpeeds = 71;
constexpr std::size_t kMostMarks = 60;
constexpr double kSameRpm = 60, kFenceMm = 0.45, kSameMm = 0.15;
constexpr double kDeeper = 1.5;

rig::RigSettings cut(std::uint64_t seed) {
  rig::RigSettings settings = rig::bracket_wall();
  settings.seed = seed;
  return settings;
}

std::vector<ChartPoint> chart(const rig::RigSettings& settings) {
  cutting::ChartSettings wanted;
  wanted.rpm_from = kFromRpm;
  wanted.rpm_to = kToRpm;
  wanted.speeds = kSpeeds;
  wanted.greatest_depth_mm = 1.2 * kDeepestMm;
  const auto found = cutting::stability_chart(settings.model, settings.start.radial_mm, settings.milling, wanted);
  std::vector<ChartPoint> points;
  for (const auto& limit : found.limits) points.push_back({limit.spindle_rpm, limit.depth_mm, Outcome::open});
  return points;
}

std::string at(const ChartPoint& point) {
  return "S" + shown(point.spindle_rpm) + ", " + shown(point.depth_mm, 1) + " mm";
}

}  // namespace

Lobes::Lobes(std::uint64_t seed)
    : controls_({{"Spindle speed", "rev/min", 6800, kFromRpm, kToRpm, 50, 0},
                 {"Depth of cut", "mm", 1.2, 0.2, kDeepestMm, 0.1, 1}}),
      bench_(cut(seed)),
      limit_(chart(bench_.settings())) {}

double Lobes::limit_mm(double rpm) const noexcept {
  const auto above = std::lower_bound(limit_.begin(), limit_.end(), rpm, [](const ChartPoint& point, double wanted) {
    return point.spindle_rpm < wanted;
  });
  if (above == limit_.begin()) return limit_.front().depth_mm;
  if (above == limit_.end()) return limit_.back().depth_mm;
  const ChartPoint& a = *(above - 1);
  return a.depth_mm + (rpm - a.spindle_rpm) / (above->spindle_rpm - a.spindle_rpm) * (above->depth_mm - a.depth_mm);
}

bool Lobes::set(std::size_t control, double value) {
  if (!controls_.set(control, value)) return false;
  // A mark that was not judged in time says nothing.
  std::erase_if(marks_, [](const ChartPoint& mark) { return mark.heard == Outcome::open; });
  bench_.turn(controls_[spindle_rpm], controls_[depth_mm]);
  return true;
}

bool Lobes::act(std::size_t deed) {
  if (deed == wipe_marks) {
    marks_.clear();
  } else if (deed == leave_mark) {
    std::erase_if(marks_, [](const ChartPoint& mark) { return mark.heard == Outcome::open; });
    if (marks_.size() == kMostMarks) marks_.erase(marks_.begin());
    marks_.push_back({controls_[spindle_rpm], controls_[depth_mm], Outcome::open});
  } else {
    return false;
  }
  return true;
}

void Lobes::process(std::span<float> sound) {
  bench_.process(sound);
  judge_marks();
}

void Lobes::judge_marks() {
  if (marks_.empty() || marks_.back().heard != Outcome::open) return;
  marks_.back().heard = bench_.ear().outcome();
  if (marks_.back().heard != Outcome::open) look_at_tasks();
}

void Lobes::look_at_tasks() {
  const auto quiet = [](const ChartPoint& mark) { return mark.heard == Outcome::quiet; };
  const auto chatters = [](const ChartPoint& mark) { return mark.heard == Outcome::chatters; };
  for (const ChartPoint& a : marks_)
    for (const ChartPoint& b : marks_) {
      if (!quiet(a) || !chatters(b)) continue;
      const double apart_mm = b.depth_mm - a.depth_mm;
      if (!fenced_ && std::abs(a.spindle_rpm - b.spindle_rpm) < kSameRpm && apart_mm > 0 && apart_mm <= kFenceMm) {
        fenced_ = true;
        fence_quiet_ = a;
        fence_chatters_ = b;
      }
      if (fenced_ && !deeper_ && a.depth_mm >= kDeeper * fence_chatters_.depth_mm - 1e-9) {
        deeper_ = true;
        deeper_at_ = a;
      }
      for (const ChartPoint& c : marks_) {
        const bool same =
            std::max({a.depth_mm, b.depth_mm, c.depth_mm}) - std::min({a.depth_mm, b.depth_mm, c.depth_mm}) <= kSameMm;
        if (between_ || !quiet(c) || !same || !(a.spindle_rpm < b.spindle_rpm && b.spindle_rpm < c.spindle_rpm))
          continue;
        between_ = true;
        low_ = a;
        middle_ = b;
        high_ = c;
      }
    }
}

Scene Lobes::scene() const {
  Scene scene;
  scene.name = Name::lobes;
  scene.t_s = bench_.t_s();
  scene.controls = controls_.all();
  scene.deeds = {"Leave a mark here", "Wipe the marks"};
  scene.heard = bench_.heard();
  LobesPicture picture;
  picture.rpm_from = kFromRpm;
  picture.rpm_to = kToRpm;
  picture.depth_to_mm = kDeepestMm;
  picture.limit = limit_;
  picture.marks = marks_;
  picture.here = {controls_[spindle_rpm], controls_[depth_mm], bench_.ear().outcome()};
  picture.limit_here_mm = limit_mm(controls_[spindle_rpm]);
  scene.words = {
      "The curve is the depth limit by the physics; a mark is what the engine heard of the simulated cut there, and "
      "nothing else.",
      "At S" + shown(controls_[spindle_rpm]) + " the limit is " + shown(picture.limit_here_mm, 2) + " mm, you cut " +
          shown(controls_[depth_mm], 1) + " mm."};
  if (!marks_.empty() && marks_.back().heard == Outcome::open)
    scene.words.push_back("The mark waits until the engine is sure; turn nothing for three seconds.");
  scene.tasks = {
      {"Fence the limit in at one speed: a quiet mark and a chattering one, not more than 0.4 mm apart.", fenced_,
       fenced_ ? "Quiet at " + at(fence_quiet_) + ", chatter at " + at(fence_chatters_) + "; the curve says " +
                     shown(limit_mm(fence_quiet_.spindle_rpm), 2) + " mm."
               : "Leave a mark, turn the depth, leave another."},
      {"Find a speed at which half as deep again as that is quiet.", deeper_,
       deeper_   ? "Quiet at " + at(deeper_at_) + "."
       : fenced_ ? "That is " + shown(std::ceil(10 * kDeeper * fence_chatters_.depth_mm - 1e-6) / 10, 1) +
                       " mm: follow the curve to where it is high."
                 : "First fence the limit in: that says how deep."},
      {"At one depth: quiet, chatter and quiet again, as the speed goes up.", between_,
       between_ ? "Quiet at S" + shown(low_.spindle_rpm) + ", chatter at S" + shown(middle_.spindle_rpm) +
                      ", quiet at S" + shown(high_.spindle_rpm) +
                      ": faster is neither better nor worse, only nearer to or further from a pocket."
                : "Three marks in a row, from left to right."}};
  scene.advises = true;
  scene.picture = std::move(picture);
  return scene;
}

}  // namespace hushmill::lessons
