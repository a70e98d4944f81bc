#include "advise/belief.hpp"

#include <algorithm>
#include <cmath>

#include "advise/natural_frequency.hpp"
#include "advise/one_mode_lobes.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

constexpr int kGuesses = 900;  // shared among all clouds of an answer
constexpr int kFewestGuesses = 400;
constexpr std::ptrdiff_t kMostAnchors = 3;  // latest frequencies that get a cloud; older ones are loud speeds only
constexpr double kMostWaves = 20;           // per tooth: beyond, no pocket is worth reckoning
constexpr double kExplained = 0.01;         // mean match above which a cloud explains a frequency
constexpr int kPicks = 320;                 // guesses whose teeth are stepped at all speeds, shared like the above
constexpr std::size_t kFewestThatFit = 12;  // guesses below which what was told is doubted
constexpr double kDoubt = 2.0;              // in guesses: how much the chance below counts beside the guesses
constexpr double kDoubtChance = 0.3;        // of a speed of which nothing is known
// After failed tries the guesses have been wrong together, and how often speeds are quiet in general counts, too. Counted
// on the tuning set-ups: hardly one in fifteen, but about half of those that are far slower than all that were loud.
constexpr double kDoubtPerFailure = 0.2;  // share of what is counted, for each loud speed beside the present one
constexpr double kMostDoubt = 0.4;
constexpr double kElsewhereChance = 0.06;
constexpr double kFarSlowerChance = 0.5;
constexpr double kFarSlowerFrom = 0.5;  // of ln(speed): from here it rises
constexpr double kFarSlowerTo = 0.8;    // to its full size here
constexpr double kMostLikely = 0.97;        // nothing is surer than this
constexpr double kRemembered = 0.01;  // of ln(speed): how far around a tried speed its outcome holds
constexpr double kSameSpeed = 0.002;  // relative: the same trial told twice
constexpr double kBlur = 0.012;  // of ln(speed): a speed is worth what its neighbours are, so luck among guesses counts less
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

// A tone so far above the teeth says only that it was loud.
bool speaks(const Trial& trial, int flutes) noexcept {
  return trial.chatter_hz && cutting::waves_per_tooth(*trial.chatter_hz, trial.spindle_rpm, flutes) <= kMostWaves;
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

// Both must be quiet. One cutter, depth and rubbing lie behind both, so where one is quiet the other is likelier to be:
// independent they would multiply.
double both_quiet(double one, double other) noexcept {
  constexpr double kAlike = 0.5;
  return one * other + kAlike * std::sqrt(one * (1 - one) * other * (1 - other));
}

}  // namespace

Belief::Belief(const Question& question, const SpeedGrid& grid) : grid_(grid), flutes_(question.flutes) {
  const std::vector<Trial> told = story(question);
  const auto anchors = std::count_if(told.begin(), told.end(),
                                     [&](const Trial& t) { return speaks(t, flutes_) && t.outcome != Outcome::held; });
  const int clouds = static_cast<int>(std::clamp<std::ptrdiff_t>(anchors, 1, kMostAnchors));
  const int wanted = std::max(kFewestGuesses, kGuesses / clouds);
  std::ptrdiff_t passed = 0;
  for (const Trial& trial : told) {
    if (trial.outcome == Outcome::held) held_rpm_.push_back(trial.spindle_rpm);
    if (trial.outcome == Outcome::held) continue;
    loud_rpm_.push_back(trial.spindle_rpm);
    if (!speaks(trial, flutes_) || anchors - passed++ > kMostAnchors) continue;
    const bool current = &trial == &told.back();
    hear(question, {trial.spindle_rpm, *trial.chatter_hz, current ? question.growth_per_s : std::nullopt}, wanted);
  }
  if (!known_) {
    quiet_ = one_mode_promise(question, grid_);
    return;
  }
  std::vector<double> raw(static_cast<std::size_t>(grid_.size), 1.0);
  for (Voice& voice : voices_) {
    pick(voice, told);
    step(voice);
    for (std::size_t i = 0; i < raw.size(); ++i) raw[i] = both_quiet(raw[i], mean_quiet(voice, voice.chances[i]));
  }
  for (int i = 0; i < grid_.size; ++i) {
    double sum = 0;
    double weights = 0;
    for (int k = std::max(0, i - 3); k <= std::min(grid_.size - 1, i + 3); ++k) {
      const double miss = (k - i) * std::log(SpeedGrid::kStep) / kBlur;
      const double weight = std::exp(-0.5 * miss * miss);
      sum += weight * raw[static_cast<std::size_t>(k)];
      weights += weight;
    }
    const double rpm = grid_.rpm(i);
    quiet_.push_back(std::min(kMostLikely, with_memory(with_failures(sum / weights, rpm), rpm)));
  }
}

// What was told may contradict what was heard: a tap test of another mode, a width that is not the one being cut. Rather
// than to know nothing then, it is passed over, the damping first.
Cloud Belief::cloud_for(const Question& question, const Sighting& sighting, int wanted) {
  Cloud fresh(question, sighting, wanted, kSeed);
  if (fresh.size() >= kFewestThatFit) return fresh;
  Question told = question;
  if (told.damping_ratio) {
    told.damping_ratio.reset();
    Cloud wider(told, sighting, wanted, kSeed);
    if (wider.size() >= kFewestThatFit) {
      passed_over_damping_ = true;
      return wider;
    }
  }
  if (told.radial_mm || told.milling) {
    told.radial_mm.reset();
    told.milling.reset();
    Cloud widest(told, sighting, wanted, kSeed);
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
    for (const Cloud& cloud : voice.clouds) match += cloud.mean(cloud.matches(sighting));
    match /= static_cast<double>(voice.clouds.size());
    if (match > best) best = match, owner = &voice;
  }
  Cloud fresh = cloud_for(question, sighting, wanted);
  if (fresh.empty()) return;
  known_ = true;
  if (!owner) {
    voices_.push_back({{std::move(fresh)}, {sighting}, {}, 0, {}});
    return;
  }
  for (Cloud& cloud : owner->clouds) cloud.learn(cloud.matches(sighting));
  for (const Sighting& older : owner->heard) fresh.learn(fresh.matches(older));
  owner->clouds.push_back(std::move(fresh));
  owner->heard.push_back(sighting);
}

void Belief::pick(Voice& voice, const std::vector<Trial>& told) const {
  std::size_t clouds = 0;
  for (const Voice& each : voices_) clouds += each.clouds.size();
  for (const Cloud& cloud : voice.clouds) {
    const double worth = cloud.effective_size();
    voice.guesses += worth;
    std::vector<Sighting> others;
    for (std::size_t k = 0; k < voice.heard.size(); ++k)
      if (&cloud != &voice.clouds[k]) others.push_back(voice.heard[k]);
    std::vector<Cloud::Pick> picks = cloud.settled(kPicks / static_cast<int>(clouds), others);
    double sum = 0;
    for (const Cloud::Pick& pick : picks) sum += pick.weight;
    for (Cloud::Pick& pick : picks) pick.weight *= worth / sum;
    voice.picks.insert(voice.picks.end(), picks.begin(), picks.end());
  }
  std::stable_sort(voice.picks.begin(), voice.picks.end(), [](const Cloud::Pick& a, const Cloud::Pick& b) {
    return a.cut.mode_count < b.cut.mode_count;
  });
  for (const Trial& trial : told) {
    const bool held = trial.outcome == Outcome::held;
    // With several voices it is not known which of them spoke.
    if (!held && (speaks(trial, flutes_) || voices_.size() > 1)) continue;
    const std::vector<double> chances = quiet_chances(voice.picks, trial.spindle_rpm, flutes_);
    for (std::size_t i = 0; i < chances.size(); ++i)
      voice.picks[i].weight *= held ? chances[i] + 1e-3 : 1 - chances[i];
  }
  double sum = 0;
  for (const Cloud::Pick& pick : voice.picks) sum += pick.weight;
  for (Cloud::Pick& pick : voice.picks) pick.weight /= sum;
}

// Where pockets are wide, between few waves per tooth, not every speed is stepped.
void Belief::step(Voice& voice) const {
  constexpr double kPerPocket = 0.06;  // of a pocket's spacing between stepped speeds
  constexpr int kWidest = 3;
  const double waves_per_rpm = cutting::waves_per_tooth(voice.heard.back().chatter_hz, 1.0, flutes_);
  voice.chances.resize(static_cast<std::size_t>(grid_.size));
  int last = 0;
  for (int i = 0;;) {
    const auto at = static_cast<std::size_t>(i);
    voice.chances[at] = quiet_chances(voice.picks, grid_.rpm(i), flutes_);
    for (int k = last + 1; k < i; ++k) {
      const double share = static_cast<double>(k - last) / (i - last);
      auto& between = voice.chances[static_cast<std::size_t>(k)];
      between = voice.chances[static_cast<std::size_t>(last)];
      for (std::size_t p = 0; p < between.size(); ++p) between[p] += share * (voice.chances[at][p] - between[p]);
    }
    if (i == grid_.size - 1) break;
    last = i;
    const double waves = waves_per_rpm / grid_.rpm(i);
    const int stride = static_cast<int>(kPerPocket / (waves * std::log(SpeedGrid::kStep)));
    i = std::min(grid_.size - 1, i + std::clamp(stride, 1, kWidest));
  }
}

// Few guesses left that explain everything: they may all be wrong alike.
double Belief::mean_quiet(const Voice& voice, const std::vector<double>& chances) const noexcept {
  double mean = 0;
  for (std::size_t p = 0; p < chances.size(); ++p) mean += voice.picks[p].weight * chances[p];
  return (voice.guesses * mean + kDoubt * kDoubtChance) / (voice.guesses + kDoubt);
}

double Belief::with_failures(double chance, double rpm) const noexcept {
  const double doubt = std::min(kMostDoubt, kDoubtPerFailure * (static_cast<double>(loud_rpm_.size()) - 1));
  const double slowest = *std::min_element(loud_rpm_.begin(), loud_rpm_.end());
  const double slower = std::clamp((std::log(slowest / rpm) - kFarSlowerFrom) / (kFarSlowerTo - kFarSlowerFrom), 0.0, 1.0);
  const double counted = kElsewhereChance + (kFarSlowerChance - kElsewhereChance) * slower;
  return (1 - doubt) * chance + doubt * counted;
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

std::vector<double> Belief::quiet_with_depth(const std::vector<double>& speeds_rpm, double depth_factor) const {
  std::vector<double> product;
  for (const double rpm : speeds_rpm) {
    double chance = 1;
    for (const Voice& voice : voices_)
      chance = both_quiet(chance, mean_quiet(voice, quiet_chances(voice.picks, rpm, flutes_, depth_factor)));
    product.push_back(chance);
  }
  return product;
}

}  // namespace hushmill::advise
