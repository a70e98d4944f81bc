// The options of trials: how much quiet cut a speed must show, and what was cut when.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "trial/trial.hpp"

namespace CLI {
class App;
}

namespace hushmill::app {

/// Heading of these options in the help.
inline constexpr const char* kTrialsGroup = "Trials";

struct TrialOptionTexts {
  std::optional<std::string> hold_s;
  std::vector<std::string> tags;
};

struct TrialOptions {
  trial::Rules rules;
  std::vector<trial::Tag> tags;
};

void add_trial_options(CLI::App& command, TrialOptionTexts& texts);

/// Throws UsageError.
TrialOptions trial_options(const TrialOptionTexts& texts);

/// The options as typed, each with a space before it, so that a report can be made again.
std::string settings_text(const TrialOptionTexts& texts);

/// Names stretches that overlap, and which of them counts, on standard error; not one that lies within an earlier one.
void tell_overlaps(const std::vector<trial::Tag>& tags);

}  // namespace hushmill::app
