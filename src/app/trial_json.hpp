// Trials as JSON. The fields are a contract: see DEVELOPERS.md.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "trial/speed_table.hpp"
#include "trial/trial.hpp"

namespace hushmill::app {

nlohmann::ordered_json to_json(const trial::Trial& trial);
nlohmann::ordered_json to_json(const std::vector<trial::Trial>& trials);
nlohmann::ordered_json to_json(const trial::SpeedTable& table);

}  // namespace hushmill::app
