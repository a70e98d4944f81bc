#include "lessons/lower_or_higher.hpp"

#include <algorithm>

namespace hushmill::lessons {
namespace {

constexpr std::array<const char*, LowerOrHigher::kCuts> kCutNames{"Side wall", "Long slender tool", "Stubborn cut"};
constexpr std::array<const char*, LowerOrHigher::kStands> kStandNames{"as it is", "shorter tool", "stiffer hold",
                                                                      "unequal flutes"};
constexpr double kShortMm = 40, kHoldTimes = 3;
constexpr std::size_t kLowerTried = 2, kNoneTried = 5;

double most_percent(std::size_t cut) { return cut == 2 ? 120 : 150; }

std::vector<KnobStep> knob(std::size_t cut, double programmed_rpm) {
  std::vector<KnobStep> steps;
  for (double percent = 50; percent <= most_percent(cut); percent += 10)
    steps.push_back({percent, programmed_rpm * percent / 100, Outcome::open});
  return steps;
}

std::size_t count(const std::vector<KnobStep>& steps, Outcome outcome, double from_percent, double to_percent) {
  return static_cast<std::size_t>(std::count_if(steps.begin(), steps.end(), [&](const KnobStep& step) {
    return step.heard == outcome && step.percent >= from_percent && step.percent <= to_percent;
  }));
}

/// "50, 90 to 120 %": steps that follow one another in one.
std::string listed(const std::vector<KnobStep>& steps, Outcome outcome) {
  std::string list;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (steps[i].heard != outcome) continue;
    std::size_t last = i;
    while (last + 1 < steps.size() && steps[last + 1].heard == outcome) ++last;
    list += (list.empty() ? "" : ", ") + shown(steps[i].percent);
    if (last > i) list += (last > i + 1 ? " to " : ", ") + shown(steps[last].percent);
    i = last;
  }
  return list.empty() ? "none" : list + "\u00a0%";
}

}  // namespace

rig::RigSettings knob_cut(std::size_t cut, std::size_t stand) {
  rig::RigSettings settings = rig::bracket_wall();
  settings.start.depth_mm = 3;
  if (cut == 1) {
    rig::remount(settings, {.stickout_mm = 84});
    settings.start.spindle_rpm = 6000;
    settings.start.depth_mm = 1.2;
  } else if (cut == 2) {
    rig::remount(settings, {.stickout_mm = 60});
    // Chosen so that every step chatters as it is and each of the three cures is quiet at 100 %, whatever the seed.
    settings.start.spindle_rpm = 3600;
    settings.start.depth_mm = 1.6;
  }
  settings.start.feed_per_tooth_mm = 0.06;
  if (stand == 1) rig::remount(settings, {.stickout_mm = kShortMm});
  if (stand == 2) rig::remount(settings, {.holder_times = kHoldTimes});
  if (stand == 3) settings.model.cutter.pitch_deg = {70, 110, 70, 110};
  return settings;
}

LowerOrHigher::LowerOrHigher(std::uint64_t seed)
    : seed_(seed),
      controls_({{"Cut", "", 0, 0, 2, 1, 0, {kCutNames.begin(), kCutNames.end()}},
                 {"Speed override", "%", 100, 50, 150, 10, 0},
                 {"Tool and hold", "", 0, 0, 3, 1, 0, {kStandNames.begin(), kStandNames.end()}}}) {
  for (std::size_t cut = 0; cut < kCuts; ++cut)
    for (std::size_t one = 0; one < kStands; ++one) steps(cut, one) = knob(cut, knob_cut(cut, one).start.spindle_rpm);
  begin_cut();
}

void LowerOrHigher::begin_cut() {
  if (bench_) earlier_s_ += bench_->t_s();
  rig::RigSettings settings = knob_cut(controls_.choice(which_cut), controls_.choice(stand));
  settings.seed = seed_;
  settings.start.spindle_rpm *= controls_[percent] / 100;
  bench_ = std::make_unique<CutBench>(settings);
}

bool LowerOrHigher::set(std::size_t control, double value) {
  const double before = control < 3 ? controls_[control] : 0;
  if (!controls_.set(control, value)) return false;
  const std::size_t cut = controls_.choice(which_cut);
  if (controls_[percent] > most_percent(cut))
    controls_.set(percent, most_percent(cut));  // the knob of that machine ends there
  if (controls_[control] == before) return true;
  if (control == percent) {
    const auto& all = steps(cut, controls_.choice(stand));
    const auto step =
        std::find_if(all.begin(), all.end(), [&](const KnobStep& one) { return one.percent == controls_[percent]; });
    bench_->turn(step->spindle_rpm, bench_->controls().depth_mm);
  } else {
    if (control == which_cut) controls_.set(percent, 100);
    begin_cut();
  }
  return true;
}

bool LowerOrHigher::act(std::size_t deed) {
  if (deed != cut_afresh) return false;
  bench_->cut_afresh();
  return true;
}

void LowerOrHigher::process(std::span<float> sound) {
  bench_->process(sound);
  keep_outcome();
}

void LowerOrHigher::keep_outcome() {
  const Outcome heard = bench_->ear().outcome();
  if (heard == Outcome::open) return;
  for (KnobStep& step : steps(controls_.choice(which_cut), controls_.choice(stand))) {
    if (step.percent != controls_[percent] || step.heard == heard) continue;
    step.heard = heard;
    look_at_tasks();
  }
}

void LowerOrHigher::look_at_tasks() {
  const auto& wall = steps(0, 0);
  if (!both_ways_ && count(wall, Outcome::quiet, 0, 99) > 0 && count(wall, Outcome::quiet, 101, 200) > 0 &&
      count(wall, Outcome::chatters, 100, 100) > 0) {
    both_ways_ = true;
    both_found_ = "Quiet at " + listed(wall, Outcome::quiet) + "; chatter at " + listed(wall, Outcome::chatters) + ".";
  }
  const auto& slender = steps(1, 0);
  if (!only_higher_ && count(slender, Outcome::chatters, 0, 99) >= kLowerTried &&
      count(slender, Outcome::quiet, 0, 99) == 0 && count(slender, Outcome::quiet, 101, 200) > 0) {
    only_higher_ = true;
    higher_found_ = "Chatter at " + listed(slender, Outcome::chatters) + "; quiet at " +
                    listed(slender, Outcome::quiet) +
                    ". A slender tool has a low note: its wide pockets lie high, and raising is right if spindle, "
                    "holder and tool allow it.";
  }
  const auto& stubborn = steps(2, 0);
  if (!not_by_speed_ && count(stubborn, Outcome::chatters, 0, 200) >= kNoneTried &&
      count(stubborn, Outcome::quiet, 0, 200) == 0) {
    std::string cures;
    int how_many = 0;
    for (std::size_t one = 1; one < kStands; ++one) {
      if (count(steps(2, one), Outcome::quiet, 0, 200) == 0) continue;
      ++how_many;
      cures += std::string(cures.empty() ? "" : "; ") + kStandNames[one] + ": quiet at " +
               listed(steps(2, one), Outcome::quiet);
    }
    if (how_many >= 2) {
      not_by_speed_ = true;
      cures_found_ = cures + ".";
    }
  }
}

Scene LowerOrHigher::scene() const {
  const std::size_t cut = controls_.choice(which_cut), one = controls_.choice(stand);
  Scene scene;
  scene.name = Name::lower_or_higher;
  scene.t_s = earlier_s_ + bench_->t_s();
  scene.controls = controls_.all();
  scene.controls[percent].to = most_percent(cut);
  scene.deeds = {"Cut afresh"};
  scene.heard = bench_->heard();
  KnobPicture picture;
  picture.steps = steps(cut, one);
  picture.percent = controls_[percent];
  picture.cut = kCutNames[cut];
  picture.stand = kStandNames[one];
  picture.stickout_mm = bench_->settings().mounting.tool.stickout_mm;
  scene.words = {
      "S" + shown(bench_->controls().spindle_rpm) + ", " + shown(bench_->controls().depth_mm, 1) +
          " mm deep, tool stands out " + shown(picture.stickout_mm) +
          " mm. A step counts when the engine is sure: two seconds of quiet cut, or chatter.",
      "A speed override alone leaves the feed in mm/min: here the chip is kept, as with feed per revolution."};
  const auto& wall = steps(0, 0);
  const auto& slender = steps(1, 0);
  const auto& stubborn = steps(2, 0);
  scene.tasks = {
      {"Side wall: hear it chatter at 100 %, then find a quiet step below and one above.", both_ways_,
       both_ways_ ? both_found_ : "Quiet so far: " + listed(wall, Outcome::quiet) + "."},
      {"Long slender tool: try two lower steps, then find what is quiet. Which way is it?", only_higher_,
       only_higher_ ? higher_found_
                    : "Chatter so far: " + listed(slender, Outcome::chatters) +
                          "; quiet: " + listed(slender, Outcome::quiet) + "."},
      {"Stubborn cut: five steps as it is, then two of the other three cures. Which of them is quiet?", not_by_speed_,
       not_by_speed_
           ? cures_found_
           : "As it is, chatter at " + listed(stubborn, Outcome::chatters) + "; quiet at " +
                 listed(stubborn, Outcome::quiet) + "." +
                 (count(stubborn, Outcome::chatters, 0, 200) >= kNoneTried ? " Now turn tool and hold." : "")}};
  scene.advises = true;
  scene.picture = std::move(picture);
  return scene;
}

}  // namespace hushmill::lessons
