#include "capture/audio_device.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <iterator>
#include <sstream>

#include "capture/errors.hpp"
#include "capture/source.hpp"

namespace hushmill::capture {
namespace {

std::string lower(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return out;
}

bool has(const AudioDevice& device, AudioDirection direction) {
  return (direction == AudioDirection::input ? device.inputs : device.outputs) > 0;
}

bool is_default(const AudioDevice& device, AudioDirection direction) {
  return direction == AudioDirection::input ? device.default_input : device.default_output;
}

std::string listed(std::span<const AudioDevice* const> devices) {
  std::string text;
  for (const AudioDevice* device : devices) {
    text += (text.empty() ? "" : ", ") + std::to_string(device->number) + " " + in_quotes(device->name);
  }
  return text;
}

bool is_number(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](unsigned char c) { return std::isdigit(c) != 0; });
}

}  // namespace

const AudioDevice& pick_device(std::span<const AudioDevice> devices, std::string_view choice,
                               AudioDirection direction) {
  const std::string kind = direction == AudioDirection::input ? "microphone" : "loudspeaker";
  std::vector<const AudioDevice*> able;
  for (const AudioDevice& device : devices) {
    if (has(device, direction)) able.push_back(&device);
  }
  if (able.empty()) throw OutsideFailed(kind + ": no such device on this computer; plug one in and try again");

  if (choice.empty()) {
    const auto found = std::find_if(able.begin(), able.end(), [&](auto* d) { return is_default(*d, direction); });
    return found != able.end() ? **found : *able.front();
  }

  std::vector<const AudioDevice*> fitting;
  if (is_number(choice)) {
    int number = -1;
    std::from_chars(choice.data(), choice.data() + choice.size(), number);
    std::copy_if(able.begin(), able.end(), std::back_inserter(fitting), [&](auto* d) { return d->number == number; });
  } else {
    const std::string wanted = lower(choice);
    std::copy_if(able.begin(), able.end(), std::back_inserter(fitting),
                 [&](auto* d) { return lower(d->name) == wanted; });
    if (fitting.empty()) {
      std::copy_if(able.begin(), able.end(), std::back_inserter(fitting),
                   [&](auto* d) { return lower(d->name).find(wanted) != std::string::npos; });
    }
  }
  if (fitting.size() == 1) return *fitting.front();
  if (fitting.empty()) {
    throw BadInput(kind + " " + in_quotes(choice) + ": no such device; one of these would be right: " + listed(able));
  }
  throw BadInput(kind + " " + in_quotes(choice) + ": fits " + std::to_string(fitting.size()) +
                 " devices; one number of these would be right: " + listed(fitting));
}

std::vector<double> rates_to_try(double asked_hz, double device_default_hz) {
  const auto taken = [](double rate_hz) { return rate_hz >= kLowestRateHz && rate_hz <= kHighestRateHz; };
  if (!taken(asked_hz)) {
    std::ostringstream text;
    text << "sample rate " << asked_hz << " Hz: outside what is listened to; 16000 to 192000 Hz would be right";
    throw BadInput(text.str());
  }
  std::vector<double> rates;
  for (const double rate_hz :
       {asked_hz, device_default_hz, 48000.0, 44100.0, 96000.0, 88200.0, 192000.0, 32000.0, 22050.0, 16000.0}) {
    if (taken(rate_hz) && std::find(rates.begin(), rates.end(), rate_hz) == rates.end()) rates.push_back(rate_hz);
  }
  return rates;
}

}  // namespace hushmill::capture
