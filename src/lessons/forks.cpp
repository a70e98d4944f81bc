#include "lessons/forks.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::lessons {
namespace {

constexpr double kLoud = 0.3;  // of full scale, a fork that was just struck
constexpr double kFurther =
    0.6;  // the listener stands nearer to the first: both together could hide what the second does
constexpr double kNoise = 2e-5;           // the room
constexpr std::size_t kForksPiece = 960;  // 20 ms: one point of the curves
constexpr std::size_t kPoints = 500;      // 10 s
constexpr double kHandS = 0.4;
constexpr double kAnswers = 0.9, kSilent = 0.02;  // of the energy
constexpr double kLeastCoupling = 0.2;            // Hz: a board that does not couple proves nothing
constexpr double kBeatHz = 5, kBeatWithinHz = 0.1;

std::vector<Control> controls() {
  return {{"Second fork", "Hz", 436, 430, 450, 0.1, 1},
          {"Coupling of the board", "exchanges/s", 0.5, 0, 2, 0.05, 2},
          {"Ring time", "s", 16, 4, 30, 1, 0}};
}

std::string percent(double share) { return shown(100 * share, share < 0.1 ? 1 : 0) + "\u00a0%"; }

void keep(std::vector<float>& curve, double value) {
  if (curve.size() == kPoints) curve.erase(curve.begin());
  curve.push_back(static_cast<float>(value));
}

}  // namespace

Forks::Forks(std::uint64_t seed)
    : controls_(controls()), forks_(settings(), kSampleRateHz), tones_(kSampleRateHz), noise_(seed) {}

ForkSettings Forks::settings() const noexcept {
  return {440, controls_[second_hz], controls_[exchange_hz], controls_[ring_s]};
}

bool Forks::set(std::size_t control, double value) {
  if (microphone_ || !controls_.set(control, value)) return false;
  forks_.turn(settings());
  struck_at_.reset();  // what was struck before was another pair
  answer_ = 0;
  return true;
}

bool Forks::act(std::size_t deed) {
  if (deed > hand_on_first || microphone_) return false;
  if (deed == hand_on_first) {
    hand_until_ = samples_ + static_cast<std::uint64_t>(kHandS * kSampleRateHz);
    struck_at_.reset();
  } else {
    strike(deed == strike_both);
  }
  return true;
}

/// A struck fork has been at rest: two hands silence both before.
void Forks::strike(bool second_too) {
  forks_ = TwoForks(settings(), kSampleRateHz);
  forks_.strike(true, second_too);
  hand_until_ = 0;
  answer_ = 0;
  first_energy_ = second_energy_ = 0;  // of a piece that began before, nothing counts
  in_piece_ = 0;
  struck_at_.reset();
  both_struck_ = second_too;
  if (!second_too) struck_at_ = samples_;
}

void Forks::process(std::span<float> sound) {
  for (float& sample : sound) {
    forks_.hold_first(samples_ < hand_until_);
    forks_.step();
    ++samples_;
    first_energy_ += forks_.first_energy();
    second_energy_ += forks_.second_energy();
    ++in_piece_;
    const double heard = kLoud * (forks_.first() + kFurther * forks_.second()) + kNoise * noise_.normal();
    sample = static_cast<float>(std::clamp(heard, -1.0, 1.0));
    keep_loudness(heard);
    if (samples_ % kForksPiece == 0) keep_swing();
  }
  tones_.process(sound);
  look_at_tasks();
}

void Forks::keep_swing() {
  const double first = first_energy_ / in_piece_, second = second_energy_ / in_piece_;
  first_energy_ = second_energy_ = 0;
  in_piece_ = 0;
  if (struck_at_ && first + second > 1e-9) answer_ = std::max(answer_, second / (first + second));
  keep(first_swing_, std::sqrt(first));
  keep(second_swing_, std::sqrt(second));
}

void Forks::keep_loudness(double sample) {
  square_ += sample * sample;
  if (samples_ % kForksPiece != 0) return;
  keep(loudness_, std::sqrt(2 * square_ / kForksPiece));
  square_ = 0;
}

void Forks::hear(std::span<const float> sound) {
  microphone_ = true;
  for (const float sample : sound) {
    ++samples_;
    keep_loudness(static_cast<double>(sample));
  }
  tones_.process(sound);
  look_at_tasks();
}

void Forks::look_at_tasks() {
  const ForkNotes notes = fork_notes(settings());
  const bool couples = controls_[exchange_hz] >= kLeastCoupling;
  if (struck_at_ && couples) {
    if (answer_ >= kAnswers && !answered_) {
      answered_ = true;
      answered_hz_ = controls_[second_hz];
      answered_share_ = answer_;
    }
    // What stands there is what that strike has shown by now.
    if (answered_ && controls_[second_hz] == answered_hz_) answered_share_ = std::max(answered_share_, answer_);
    // A whole exchange must have gone by.
    const double since_s = static_cast<double>(samples_ - *struck_at_) / kSampleRateHz;
    if (since_s > std::max(1.0, 1 / notes.exchange_hz) && answer_ < kSilent && answered_ && !stayed_silent_) {
      stayed_silent_ = true;
      silent_hz_ = controls_[second_hz];
      silent_share_ = answer_;
    }
  }
  const auto& heard = tones_.tones();
  if ((both_struck_ || microphone_) && heard && heard->second_hz && !heard->unclear &&
      std::abs(heard->beat_hz() - kBeatHz) <= kBeatWithinHz && !beats_) {
    beats_ = true;
    beat_hz_ = heard->beat_hz();
  }
}

Scene Forks::scene() const {
  Scene scene;
  scene.name = Name::forks;
  scene.t_s = static_cast<double>(samples_) / kSampleRateHz;
  scene.controls = controls_.all();
  scene.deeds = {"Strike the first fork", "Strike both", "Hand on the first"};
  const ForkNotes notes = fork_notes(settings());
  ForksPicture picture;
  picture.first_hz = 440;
  picture.second_hz = controls_[second_hz];
  picture.exchange_hz = notes.exchange_hz;
  picture.most_answer = notes.most_answer;
  picture.first_swing = first_swing_;
  picture.second_swing = second_swing_;
  picture.loudness = loudness_;
  picture.swing_s = kPoints * static_cast<double>(kForksPiece) / kSampleRateHz;
  picture.tones = tones_.tones();
  picture.microphone = microphone_;
  picture.answer = answer_;

  scene.tasks = {
      {"Strike the first fork alone. At which pitch does the second take over nine tenths of the swing?", answered_,
       answered_ ? "At " + shown(answered_hz_, 1) + " Hz it took " + percent(answered_share_) +
                       ": same note, so every push comes at the right moment."
                 : "So far it took " + percent(answer_) + "."},
      {"Then make it stay silent (less than 2 %) by its pitch alone.", stayed_silent_,
       stayed_silent_ ? "At " + shown(silent_hz_, 1) + " Hz it took only " + percent(silent_share_) +
                            ": the pushes fall out of step before the swing has grown."
                      : (answered_ ? "At this pitch it took " + percent(answer_) + "." : "First let it answer.")},
      {"Strike both and make five beats a second, by the pitch of the second.", beats_,
       beats_ ? "Two tones " + shown(beat_hz_, 2) + " Hz apart were heard: as many beats a second."
              : (picture.tones && picture.tones->second_hz
                     ? shown(picture.tones->beat_hz(), 2) + " beats a second are heard."
                 : !picture.tones         ? "Nothing rings yet."
                 : picture.tones->unclear ? "More than two tones are heard, or none that is steady."
                                          : "One tone is heard.")}};
  if (microphone_) {
    // Nothing of the simulation can be turned, struck or asked for.
    scene.controls.clear();
    scene.deeds.clear();
    scene.tasks.erase(scene.tasks.begin(), scene.tasks.end() - 1);
    scene.tasks.front().question =
        "Strike two real forks together and make five beats a second, by a rider or wax on one.";
    scene.words = {"Real sound from the microphone. Strike a fork, or two that are nearly alike, and hold them near.",
                   "The note a' (A4) is 440 Hz by ISO 16."};
  } else {
    scene.words = {
        "The board passes a little of each push from one fork to the other. Only a fork of the same note adds them up.",
        "A tool is such a fork: teeth that push at its note, or a wave that the last tooth left, make it answer.",
        "By the formula the second takes at most " + percent(notes.most_answer) +
            " here. Coupled, the pair sounds at " + shown(notes.lower_hz, 2) + " and " + shown(notes.upper_hz, 2) +
            " Hz: the swing comes back " + shown(notes.exchange_hz, 2) + " times a second."};
  }
  scene.picture = std::move(picture);
  return scene;
}

}  // namespace hushmill::lessons
