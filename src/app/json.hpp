// What was heard and advised, as JSON documents. The fields are a contract: see DEVELOPERS.md.
#pragma once

#include <nlohmann/json.hpp>

#include "advise/advice.hpp"
#include "app/review.hpp"
#include "listen/findings.hpp"

namespace hushmill::app {

using Json = nlohmann::ordered_json;

Json to_json(const Review& review);
Json to_json(const advise::Advice& advice);
Json to_json(const listen::Episode& episode);
Json to_json(const listen::OtherFit& fit);

/// One line of text; text from outside that is not UTF-8 is mended, never thrown on.
std::string dump(const Json& json, int indent);

}  // namespace hushmill::app
