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

}  // namespace hushmill::app
