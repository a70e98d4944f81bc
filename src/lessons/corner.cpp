#include "lessons/corner.hpp"

#include <algorithm>
#include <cmath>

#include "rig/path.hpp"

namespace hushmill::lessons {
namespace {

constexpr int kSides = 4;
constexpr double kSideMm = 30;  // a lap of six seconds: short enough for a class
constexpr std::size_t kArcPoints = 360;
constexpr std::size_t kCornerPiece = 480;  // 10 ms between looks at the tool's place
constexpr int kReturns = 4, kLaps = 2;

rig::RigSettings pocket(bool even, double rpm, std::uint64_t seed) {
  rig::RigSettings settings = even ? rig::tray_even() : rig::tray_pocket();
  settings.path.side_mm = kSideMm;
  settings.start.spindle_rpm = rpm;
  settings.seed = seed;
  return settings;
}

}  // namespace

Corner::Corner(std::uint64_t seed)
    : seed_(seed),
      controls_({{"Path", "", 0, 0, 1, 1, 0, {"sharp inside corners", "constant engagement"}},
                 {"Spindle speed", "rev/min", 8400, 6000, 10800, 60, 0}}) {
  begin_pocket();
}

void Corner::begin_pocket() {
  if (bench_) earlier_s_ += bench_->t_s();
  bench_ = std::make_unique<CutBench>(pocket(even(), controls_[spindle_rpm], seed_));
  travelled_mm_ = 0;
  places_.clear();
}

bool Corner::set(std::size_t control, double value) {
  const double before = control < 2 ? controls_[control] : 0;
  if (!controls_.set(control, value)) return false;
  if (controls_[control] == before) return true;
  begin_pocket();
  return true;
}

bool Corner::act(std::size_t deed) {
  if (deed != begin_again) return false;
  begin_pocket();
  return true;
}

void Corner::process(std::span<float> sound) {
  while (!sound.empty()) {
    const auto piece = sound.first(std::min(sound.size(), kCornerPiece));
    bench_->process(piece);
    follow(piece.size());
    sound = sound.subspan(piece.size());
  }
  look_at_tasks();
}

/// The machine's own sum, from its true speed.
void Corner::follow(std::size_t samples) {
  const rig::RigTruth truth = bench_->truth();
  const auto& controls = bench_->controls();
  if (truth.depth_mm > 0)
    travelled_mm_ += truth.spindle_rpm / 60 * controls.feed_per_tooth_mm * bench_->settings().model.cutter.flutes *
                     static_cast<double>(samples) / kSampleRateHz;
  places_.push_back({bench_->t_s(), travelled_mm_});
}

double Corner::lap_mm() const noexcept { return kSides * kSideMm; }

double Corner::travelled_at(double t_s) const noexcept {
  const auto at = std::lower_bound(places_.begin(), places_.end(), t_s,
                                   [](const Place& place, double wanted) { return place.t_s < wanted; });
  return at == places_.end() ? travelled_mm_ : at->travelled_mm;
}

std::vector<CornerPicture::Spot> Corner::spots() const {
  std::vector<CornerPicture::Spot> all;
  for (const auto& episode : bench_->ear().findings().episodes) {
    const double from = travelled_at(episode.start_s) / lap_mm(), to = travelled_at(episode.end_s) / lap_mm();
    all.push_back({static_cast<int>(from), from - std::floor(from), to - std::floor(from)});
  }
  return all;
}

int Corner::chatters_in_lap(int lap) const {
  const auto all = spots();
  return static_cast<int>(std::count_if(all.begin(), all.end(), [&](const auto& spot) { return spot.lap == lap; }));
}

void Corner::look_at_tasks() {
  const int laps = static_cast<int>(travelled_mm_ / lap_mm());
  const auto all = spots();
  if (!even() && !returned_ && static_cast<int>(all.size()) >= kReturns) {
    returned_ = true;
    returned_rpm_ = controls_[spindle_rpm];
    double furthest_mm = 0;
    for (const auto& spot : all) {
      const double sides = spot.from_share * kSides;
      furthest_mm = std::max(furthest_mm, std::abs(sides - std::round(sides)) * kSideMm);
    }
    returned_found_ = "At S" + shown(controls_[spindle_rpm]) + " chatter came " + std::to_string(all.size()) +
                      " times, each time beginning within " + shown(std::ceil(furthest_mm)) + "\u00a0mm of a corner.";
  }
  if (laps < kLaps || !all.empty()) return;
  const std::string words =
      std::to_string(laps) + " whole laps at S" + shown(controls_[spindle_rpm]) + " without chatter.";
  if (even() && !held_ && returned_ && controls_[spindle_rpm] == returned_rpm_) {
    held_ = true;
    held_found_ = words + " The feed turns here as in the corner, but the engaged arc stays as it is.";
  }
  if (!even() && !other_speed_) {
    other_speed_ = true;
    speed_found_ = words + " A speed must survive the worst place of the path, not the wall.";
  }
}

std::string Corner::same_speed_hint(int laps) const {
  if (!returned_) return "First the first question: it gives the speed.";
  if (controls_[spindle_rpm] != returned_rpm_)
    return "The chatter was at S" + shown(returned_rpm_) + ": turn the speed back.";
  return even() ? std::to_string(laps) + " laps so far." : "Turn the path.";
}

Scene Corner::scene() const {
  Scene scene;
  scene.name = Name::corner;
  scene.t_s = earlier_s_ + bench_->t_s();
  scene.controls = controls_.all();
  scene.deeds = {"Begin the pocket again"};
  scene.heard = bench_->heard();
  CornerPicture picture;
  const auto& settings = bench_->settings();
  const double radial = settings.start.radial_mm / settings.model.cutter.diameter_mm;
  // The second lap: the first begins without a corner behind it.
  for (std::size_t i = 0; i < kArcPoints; ++i) {
    const auto place = rig::place_on_path(settings.path, lap_mm() * (1 + static_cast<double>(i) / kArcPoints), radial,
                                          settings.milling);
    picture.arc_deg.push_back(static_cast<float>((place.arc.exit_rad - place.arc.entry_rad) * 180 / cutting::kPi));
  }
  picture.lap_share = travelled_mm_ / lap_mm() - std::floor(travelled_mm_ / lap_mm());
  picture.laps_done = static_cast<int>(travelled_mm_ / lap_mm());
  picture.arc_now_deg = bench_->truth().arc_deg;
  picture.even = even();
  picture.chatter = spots();
  for (int lap = 0; lap < picture.laps_done; ++lap) picture.per_lap.push_back(chatters_in_lap(lap));
  scene.words = {even() ? "The path rolls round its corners: the engaged arc stays " + shown(picture.arc_deg.front()) +
                              " degrees all the way."
                        : "Along the wall the arc is " +
                              shown(*std::min_element(picture.arc_deg.begin(), picture.arc_deg.end())) +
                              " degrees; in the corner it grows to " +
                              shown(*std::max_element(picture.arc_deg.begin(), picture.arc_deg.end())) +
                              ", since the next wall's stock comes to this one's.",
                 "More engaged arc means more teeth in the cut at once: the depth limit falls, and for a moment the "
                 "same depth is too much."};
  scene.tasks = {{"Sharp corners: let it run. Does the chatter stay away once it was quiet? Wait for four chatters.",
                  returned_, returned_ ? returned_found_ : std::to_string(picture.chatter.size()) + " so far."},
                 {"Same speed, constant engagement: two whole laps.", held_,
                  held_ ? held_found_ : same_speed_hint(picture.laps_done)},
                 {"Sharp corners again: find a speed that keeps two whole laps quiet.", other_speed_,
                  other_speed_ ? speed_found_ : "Turn the speed; the lap that was begun does not count."}};
  scene.advises = true;
  scene.picture = std::move(picture);
  return scene;
}

}  // namespace hushmill::lessons
