#include "advise/belief.hpp"

#include <algorithm>
#include <cmath>

#include "advise/natural_frequency.hpp"
#include "advise/one_mode_lobes.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

constexpr int kGuesses = 720;  // shared among all clouds of an answer
constexpr int kFewestGuesses = 160;
constexpr std::ptrdiff_t kMostAnchors = 3;  // latest frequencies that get a cloud; older ones are loud speeds only
constexpr double kMostWaves = 20;           // per tooth: beyond, no pocket is worth reckoning
constexpr double kExplained = 0.01;         // mean match above which a cloud explains a frequency
constexpr int kExamined = 180;              // guesses whose teeth are stepped, shared like the above
constexpr int kFewestExamined = 20;
constexpr std::size_t kFewestThatFit = 12;  // guesses below which what was told is doubted
constexpr double kDoubt = 2.0;              // in guesses: how much the chance below counts beside the guesses
constexpr double kDoubtChance = 0.3;        // of a speed of which nothing is known
constexpr double kMostLikely = 0.97;        // nothing is surer than this
constexpr double kRemembered = 0.01;  // of ln(speed): how far around a tried speed its outcome holds
constexpr double kSameSpeed = 0.002;  // relative: the same trial told twice
constexpr std::uint64_t kSeed = 0x5eed0fa11ULL;

// What was heard, oldest first, the question's own chatter last.
std::vector<Trial> story(const Question& question) {
  std::vector<Trial> told;
  for (const Trial& trial : question.tried) {
    const bool current = std::abs(trial.spindle_rpm / question.spindle_rpm - 1.0) < kSameSpeed;
    if (!current) told.push_back(trial);
  }
  told.push_back({question.spindle_rpm, Outcome::chattered, question.chatter_hz});
  return told;
}

// When no guess fits what was heard: 0 to 1, rising with the depth limit of one mode. A ranking, not a probability.
std::vector<double> one_mode_promise(const Question& question, const SpeedGrid& grid) {
  const double tooth_hz = cutting::tooth_passing_hz(question.spindle_rpm, question.flutes);
  const NaturalFrequency natural = natural_frequency(question.chatter_hz, tooth_hz, question.damping_ratio);
  const OneMode mode{natural.middle_hz, question.damping_ratio.value_or(kDampingMedian), natural.chatter_above};
  std::vector<double> promise;
  for (int i = 0; i < grid.size; ++i) promise.push_back(1.0 - 1.0 / depth_gain(mode, question.flutes, grid.rpm(i)));
  return promise;
}

}  // namespace

Belief::Belief(const Question& question, const SpeedGrid& grid) : grid_(grid), flutes_(question.flutes) {
  const std::vector<Trial> told = story(question);
  const auto anchors = std::count_if(told.begin(), told.end(),
                                     [](const Trial& t) { return t.chatter_hz && t.outcome != Outcome::held; });
  const int clouds = static_cast<int>(std::clamp<std::ptrdiff_t>(anchors, 1, kMostAnchors));
  const int wanted = std::max(kFewestGuesses, kGuesses / clouds);
  std::ptrdiff_t passed = 0;
  for (const Trial& trial : told) {
    if (trial.outcome == Outcome::held) held_rpm_.push_back(trial.spindle_rpm);
    if (trial.outcome == Outcome::held) continue;
    loud_rpm_.push_back(trial.spindle_rpm);
    if (!trial.chatter_hz || anchors - passed++ > kMostAnchors) continue;
    if (cutting::waves_per_tooth(*trial.chatter_hz, trial.spindle_rpm, flutes_) > kMostWaves) continue;
    const bool current = &trial == &told.back();
    hear(question, {trial.spindle_rpm, *trial.chatter_hz, current ? question.growth_per_s : std::nullopt}, wanted);
  }
  for (Voice& voice : voices_) {
    for (Cloud& cloud : voice.clouds) {
      for (const Trial& trial : told) {
        if (trial.outcome == Outcome::held) cloud.learn_quiet(trial.spindle_rpm);
        // With several voices it is not known which of them spoke.
        else if (!trial.chatter_hz && voices_.size() == 1)
          cloud.learn_loud(trial.spindle_rpm);
      }
    }
  }
  quiet_ = known_ ? quiet_with_depth(1.0) : one_mode_promise(question, grid_);
}

// What was told may contradict what was heard: a tap test of another mode, a width that is not the one being cut. Rather
// than to know nothing then, it is passed over, the damping first.
Cloud Belief::cloud_for(const Question& question, const Sighting& sighting, int wanted) {
  Cloud fresh(question, sighting, grid_, wanted, kSeed);
  if (fresh.size() >= kFewestThatFit) return fresh;
  Question told = question;
  if (told.damping_ratio) {
    told.damping_ratio.reset();
    Cloud wider(told, sighting, grid_, wanted, kSeed);
    if (wider.size() >= kFewestThatFit) {
      passed_over_damping_ = true;
      return wider;
    }
  }
  if (told.radial_mm || told.milling) {
    told.radial_mm.reset();
    told.milling.reset();
    Cloud widest(told, sighting, grid_, wanted, kSeed);
    if (widest.size() > fresh.size()) {
      passed_over_damping_ = question.damping_ratio.has_value();
      passed_over_engagement_ = true;
      return widest;
    }
  }
  return fresh;
}

void Belief::hear(const Question& question, const Sighting& sighting, int wanted) {
  Voice* owner = nullptr;
  double best = kExplained;
  for (Voice& voice : voices_) {
    double match = 0;
    for (const Cloud& cloud : voice.clouds) match += cloud.match(sighting, question.flutes);
    match /= static_cast<double>(voice.clouds.size());
    if (match > best) best = match, owner = &voice;
  }
  Cloud fresh = cloud_for(question, sighting, wanted);
  if (fresh.empty()) return;
  known_ = true;
  if (!owner) {
    voices_.push_back({{std::move(fresh)}, {sighting}});
    return;
  }
  for (Cloud& cloud : owner->clouds) cloud.learn_chatter(sighting, question.flutes);
  for (const Sighting& older : owner->heard) fresh.learn_chatter(older, question.flutes);
  owner->clouds.push_back(std::move(fresh));
  owner->heard.push_back(sighting);
}

// A speed that was loud stays loud, and one that held holds, whatever the guesses say.
double Belief::with_memory(double chance, double rpm) const noexcept {
  const auto near = [rpm](double tried_rpm) {
    const double miss = std::log(rpm / tried_rpm) / kRemembered;
    return std::exp(-0.5 * miss * miss);
  };
  for (const double held_rpm : held_rpm_) chance += (1.0 - chance) * 0.9 * near(held_rpm);
  for (const double loud_rpm : loud_rpm_) chance *= 1.0 - 0.97 * near(loud_rpm);
  return chance;
}

std::vector<double> Belief::examine(const std::vector<double>& speeds_rpm) const {
  std::vector<double> product(speeds_rpm.size(), 1.0);
  if (!known_)
    for (std::size_t i = 0; i < product.size(); ++i) product[i] = quiet_at(speeds_rpm[i]);
  for (const Voice& voice : voices_) {
    std::vector<double> sum(speeds_rpm.size(), 0.0);
    double weights = 0;
    double guesses = 0;
    const int share = std::max(kFewestExamined, kExamined / static_cast<int>(voices_.size() * voice.clouds.size()));
    for (const Cloud& cloud : voice.clouds) {
      guesses += std::min<double>(share, cloud.effective_size());
      for (const Cloud::Pick& pick : cloud.picks(share)) {
        double weight = pick.weight;
        for (const double held_rpm : held_rpm_) weight *= cloud.stepped_quiet(*pick.cut, held_rpm, flutes_) + 1e-3;
        weights += weight;
        for (std::size_t i = 0; i < sum.size(); ++i)
          sum[i] += weight * cloud.stepped_quiet(*pick.cut, speeds_rpm[i], flutes_);
      }
    }
    for (std::size_t i = 0; i < sum.size(); ++i) {
      // Few guesses left that explain everything: they may all be wrong alike.
      const double mean = weights > 0 ? sum[i] / weights : 0.0;
      product[i] *= (guesses * mean + kDoubt * kDoubtChance) / (guesses + kDoubt);
    }
  }
  for (std::size_t i = 0; i < product.size(); ++i) product[i] = std::min(kMostLikely, with_memory(product[i], speeds_rpm[i]));
  return product;
}

std::vector<double> Belief::quiet_with_depth(double depth_factor) const {
  std::vector<double> product(static_cast<std::size_t>(grid_.size), 1.0);
  for (const Voice& voice : voices_) {
    std::vector<double> mean(product.size(), 0.0);
    for (const Cloud& cloud : voice.clouds) {
      const std::vector<double> chance = cloud.quiet_chance(depth_factor);
      for (std::size_t i = 0; i < mean.size(); ++i) mean[i] += chance[i] / static_cast<double>(voice.clouds.size());
    }
    for (std::size_t i = 0; i < mean.size(); ++i) product[i] *= mean[i];
  }
  if (depth_factor >= 1.0)
    for (int i = 0; i < grid_.size; ++i)
      product[static_cast<std::size_t>(i)] = with_memory(product[static_cast<std::size_t>(i)], grid_.rpm(i));
  return product;
}

}  // namespace hushmill::advise
