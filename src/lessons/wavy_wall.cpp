#include "lessons/wavy_wall.hpp"

#include <algorithm>
#include <cmath>

#include "lessons/wavy_words.hpp"

namespace hushmill::lessons {
namespace {

constexpr int kStepsPerSample = 2;
constexpr double kRoomS = 1.3;  // the engine learns the room before the tool touches
constexpr double kSettleS = 0.8;
constexpr double kKeptTeeth = 4;
constexpr std::size_t kPoints = 420;  // of a curve on the screen
constexpr double kKnockUm = 30;
constexpr double kSeenUm = 1.0;    // a wave below it is none to look at
constexpr double kForcedUm = 5.0;  // that the teeth's own push makes: below it the wall is even to the eye
constexpr double kOverTeeth = 12;  // growth is taken over
constexpr double kGrows = 0.01;    // a tooth, up or down
constexpr double kBareUm = 1.0;    // a chip thinner than it is none
constexpr int kUnsettledPasses = 2;
constexpr double kAcceleration = 5e-5;  // of full scale for each m/s²
constexpr double kPush = 5e-4;          // for each newton that changes: table and guards
constexpr double kRoom = 6e-4;
constexpr double kDeepMm = 2.0;  // the depth at which the questions are asked

std::vector<Control> controls() {
  return {{"Spindle speed", "rev/min", 4000, 2200, 7400, 20, 0}, {"Depth of cut", "mm", 1.2, 0.2, 6, 0.1, 1}};
}

WavyCutSettings settings_of(const Controls& controls, std::uint64_t seed) {
  WavyCutSettings settings;
  settings.tooth_hz = controls[WavyWall::spindle_rpm] / 60 * WavyWall::kFlutes;
  settings.depth_mm = controls[WavyWall::depth_mm];
  settings.seed = seed;
  return settings;
}

}  // namespace

WavyWall::WavyWall(std::uint64_t seed)
    : controls_(controls()),
      cut_(settings_of(controls_, seed), kSampleRateHz * kStepsPerSample),
      ear_(controls_[spindle_rpm], kFlutes),
      room_(seed ^ 0x5eedULL),
      limit_(wavy_limit(cut_.settings())) {
  ear_.begin(kRoomS + kSettleS);
}

bool WavyWall::set(std::size_t control, double value) {
  const double before = control < 2 ? controls_[control] : 0;
  if (!controls_.set(control, value)) return false;
  if (controls_[control] == before) return true;
  cut_.set_tooth_hz(controls_[spindle_rpm] / 60 * kFlutes);
  cut_.set_depth_mm(controls_[depth_mm]);
  if (control == spindle_rpm) ear_.set_spindle_rpm(controls_[spindle_rpm]);
  ear_.begin(kSettleS);
  limit_ = wavy_limit(cut_.settings());
  knocked_s_ = -1;
  unsettled_passes_ = kUnsettledPasses;
  growth_log_ = 0;
  return true;
}

bool WavyWall::act(std::size_t deed) {
  if (deed == knock) {
    cut_.knock(kKnockUm);
    knocked_s_ = static_cast<double>(samples_) / kSampleRateHz;
    unsettled_passes_ = kUnsettledPasses;
    growth_log_ = 0;
  } else if (deed == leave_cut) {
    in_cut_ = !in_cut_;
    ear_.begin(kSettleS);
  } else {
    return false;
  }
  return true;
}

void WavyWall::process(std::span<float> sound) {
  const auto room = static_cast<std::uint64_t>(kRoomS * kSampleRateHz);
  for (float& sample : sound) {
    if (++samples_ >= room) cut_.set_in_cut(in_cut_);
    double acceleration = 0, force = 0;
    for (int i = 0; i < kStepsPerSample; ++i) {
      cut_.step();
      acceleration += cut_.acceleration_m_s2() / kStepsPerSample;
      force += cut_.force_n() / kStepsPerSample;
    }
    low_ += 0.003 * (force - low_);
    const double heard = kAcceleration * acceleration + kPush * (force - low_) + kRoom * room_.normal();
    sample = static_cast<float>(std::clamp(heard, -1.0, 1.0));
    keep_moment();
  }
  ear_.process(sound);
  look_at_tasks();
}

void WavyWall::keep_moment() {
  const Moment now{cut_.teeth(), static_cast<float>(cut_.tip_um()), static_cast<float>(cut_.wall_um()),
                   static_cast<float>(cut_.chip_um())};
  if (!past_.empty() && std::floor(now.teeth) > std::floor(past_.back().teeth)) end_pass();
  past_.push_back(now);
  pass_.least_um = std::min(pass_.least_um, now.path_um);
  pass_.most_um = std::max(pass_.most_um, now.path_um);
  pass_.thinnest_um = std::min(pass_.thinnest_um, now.chip_um);
  pass_.thickest_um = std::max(pass_.thickest_um, now.chip_um);
  ++pass_.moments;
  const double difference = static_cast<double>(now.path_um) - at(now.teeth - 1, &Moment::path_um);
  pass_.unrepeated += difference * difference;
  // The wave by where it crosses upward.
  if (last_difference_ < 0 && difference >= 0) {
    const double t_s = (static_cast<double>(samples_) - difference / (difference - last_difference_)) / kSampleRateHz;
    const double hz = 1 / std::max(1e-5, t_s - last_crossing_s_);
    last_crossing_s_ = t_s;
    wave_hz_ = wave_hz_ > 0 && std::abs(hz / wave_hz_ - 1) < 0.3 ? wave_hz_ + 0.1 * (hz - wave_hz_) : hz;
  }
  last_difference_ = difference;
}

void WavyWall::end_pass() {
  const double before = unrepeated_um_;
  unrepeated_um_ = pass_.moments > 0 ? std::sqrt(pass_.unrepeated / pass_.moments) : 0;
  if (unsettled_passes_ > 0)
    --unsettled_passes_;
  else if (before > 1e-6 && unrepeated_um_ > 1e-6)
    growth_log_ += (std::clamp(std::log(unrepeated_um_ / before), -1.6, 1.6) - growth_log_) / kOverTeeth;
  last_pass_ = pass_;
  pass_ = {};
  const auto old = std::lower_bound(past_.begin(), past_.end(), cut_.teeth() - kKeptTeeth,
                                    [](const Moment& moment, double teeth) { return moment.teeth < teeth; });
  past_.erase(past_.begin(), old);
}

double WavyWall::at(double teeth, float Moment::*which) const {
  const auto after = std::lower_bound(past_.begin(), past_.end(), teeth,
                                      [](const Moment& moment, double wanted) { return moment.teeth < wanted; });
  if (after == past_.end()) return past_.empty() ? 0 : static_cast<double>(past_.back().*which);
  if (after == past_.begin()) return static_cast<double>((*after).*which);
  const Moment& before = *(after - 1);
  const double share = (teeth - before.teeth) / (after->teeth - before.teeth);
  return static_cast<double>(before.*which) + share * static_cast<double>((*after).*which - before.*which);
}

void WavyWall::look_at_tasks() {
  const double t_s = static_cast<double>(samples_) / kSampleRateHz;
  const bool deep = controls_[depth_mm] >= kDeepMm - 1e-9;
  const Outcome outcome = ear_.outcome();
  if (!swelled_ && deep && outcome == Outcome::chatters) {
    swelled_ = true;
    swelled_rpm_ = controls_[spindle_rpm];
    swelled_depth_ = controls_[depth_mm];
    swelled_hz_ = ear_.heard().chatter_hz.value_or(wave_hz_);
  }
  const bool knocked = knocked_s_ >= 0 && t_s > knocked_s_ + 1;
  if (swelled_ && !died_ && deep && knocked && outcome == Outcome::quiet && unrepeated_um_ < 0.1 * kKnockUm &&
      controls_[depth_mm] >= swelled_depth_ - 1e-9) {
    died_ = true;
    died_found_ = death_words(picture(), controls_[spindle_rpm]);
  }
  if (died_ && !deeper_ && knocked && outcome == Outcome::quiet && controls_[depth_mm] >= 1.5 * swelled_depth_ - 1e-9) {
    deeper_ = true;
    deeper_mm_ = controls_[depth_mm];
    deeper_rpm_ = controls_[spindle_rpm];
  }
}

WallPicture WavyWall::picture() const {
  WallPicture picture;
  const double now = cut_.teeth(), feed = cut_.settings().feed_um;
  for (std::size_t i = 0; i < kPoints; ++i) {
    const double place =
        picture.from_teeth + (picture.to_teeth - picture.from_teeth) * static_cast<double>(i) / (kPoints - 1);
    picture.left_um.push_back(static_cast<float>(at(now + place - 1, &Moment::wall_um) + feed));
    if (place <= 0) picture.path_um.push_back(static_cast<float>(at(now + place, &Moment::path_um)));
  }
  picture.feed_um = feed;
  picture.chip_um = cut_.chip_um();
  picture.thinnest_um = static_cast<double>(std::min(last_pass_.thinnest_um, last_pass_.thickest_um));
  picture.thickest_um = static_cast<double>(last_pass_.thickest_um);
  picture.swing_um = std::max(0.0, 0.5 * static_cast<double>(last_pass_.most_um - last_pass_.least_um));
  picture.wave = wave();
  picture.measured = unrepeated_um_ > kSeenUm && wave_hz_ > 0 && picture.wave != Wave::no_cut;
  picture.own_note_hz = cut_.settings().tip.natural_hz;
  picture.wave_hz = picture.measured ? wave_hz_ : picture.own_note_hz;
  picture.tooth_hz = cut_.settings().tooth_hz;
  picture.flutes = kFlutes;
  picture.depth_mm = cut_.settings().depth_mm;
  picture.waves_per_tooth = picture.wave_hz / picture.tooth_hz;
  picture.phase_deg = 360 * (picture.waves_per_tooth - std::floor(picture.waves_per_tooth));
  picture.growth_per_tooth = picture.measured ? std::exp(growth_log_) : 1;
  picture.limit_mm = limit_.depth_mm;
  return picture;
}

Wave WavyWall::wave() const noexcept {
  if (cut_.engaged() <= 0) return Wave::no_cut;
  const double swing_um = 0.5 * static_cast<double>(last_pass_.most_um - last_pass_.least_um);
  if (unrepeated_um_ <= kSeenUm) return swing_um > kForcedUm ? Wave::forced : Wave::even;
  if (growth_log_ > kGrows) return Wave::grows;
  if (growth_log_ < -kGrows) return Wave::dies;
  return static_cast<double>(last_pass_.thinnest_um) < kBareUm ? Wave::bounded : Wave::holds;
}

Scene WavyWall::scene() const {
  Scene scene;
  scene.name = Name::wavy_wall;
  scene.t_s = static_cast<double>(samples_) / kSampleRateHz;
  scene.controls = controls_.all();
  scene.deeds = {"Knock the tool", in_cut_ ? "Tool out of the cut" : "Tool into the cut"};
  scene.heard = ear_.heard();
  const WallPicture wall = picture();
  if (wall.measured) name_family(*scene.heard, wall.wave_hz, wall.tooth_hz);
  scene.words = wall_words(wall);
  if (auto alarm = alarm_words(wall, *scene.heard); !alarm.empty()) scene.words.push_back(std::move(alarm));
  const std::string mm = shown(kDeepMm, 1) + " mm";
  scene.tasks = {
      {"Cut " + mm + " deep or deeper and find a speed at which the engine hears chatter.", swelled_,
       swelled_ ? "At S" + shown(swelled_rpm_) + ", " + shown(swelled_depth_, 1) + " mm, it heard " +
                      shown(swelled_hz_) + " Hz."
                : "The depth is " + shown(controls_[depth_mm], 1) + " mm."},
      {"Same depth: at which speed does a knock die away?", died_,
       died_      ? died_found_
       : swelled_ ? "At least " + shown(swelled_depth_, 1) + " mm: turn the speed, knock, and wait two seconds."
                  : "First find the chatter of the first question."},
      {"Half as deep again: is there a speed that stays quiet after a knock?", deeper_,
       deeper_ ? shown(deeper_mm_, 1) + " mm stayed quiet at S" + shown(deeper_rpm_) +
                     ": a speed is worth more than a depth."
       : died_ ? "That is " + shown(std::ceil(15 * swelled_depth_ - 1e-6) / 10, 1) +
                     " mm. Whole waves from tooth to tooth, few of them, let you cut deepest."
               : "First let a knock die away, at the same depth."}};
  scene.advises = true;
  scene.picture = wall;
  return scene;
}

}  // namespace hushmill::lessons
