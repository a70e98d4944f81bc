// The shape that the review document has by contract: which fields, of which type, null where that is said.
#pragma once

#include <string>

#include "app/bench_folder.hpp"

namespace hushmill::test {

/// What is wrong with the shape, one line each; empty when nothing is. More fields than asked for are fine.
std::string shape_trouble(const Json& document);
/// The same for the advice object alone, as `hushmill speeds` prints it.
std::string advice_shape_trouble(const Json& advice);
/// The same for the fields of one episode.
std::string episode_shape_trouble(const Json& episode);

}  // namespace hushmill::test
