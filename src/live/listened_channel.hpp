// Which channel of the user's own file a kept session listened to: what we recorded ourselves has but one. Pure.
#pragma once

#include <string_view>

#include "capture/channel.hpp"

namespace hushmill::live {

/// Of the session's options as they were kept ("--rpm 6000 --channel right"); the mix when they say nothing.
inline capture::Channel listened_channel(std::string_view options) {
  const auto says = [&](std::string_view option) { return options.find(option) != std::string_view::npos; };
  return says("--channel left") ? capture::Channel::left : says("--channel right") ? capture::Channel::right : capture::Channel::mix;
}

}  // namespace hushmill::live
