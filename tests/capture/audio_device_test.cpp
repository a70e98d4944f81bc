#include "capture/audio_device.hpp"

#include <cmath>
#include <string>

#include "capture/errors.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using capture::AudioDevice;
using capture::AudioDirection;
using capture::BadInput;
using capture::OutsideFailed;
using capture::pick_device;

namespace {

// Names as sound systems give them; the devices are invented.
const std::vector<AudioDevice> kDevices = {
    {.number = 0, .name = "Built-in Audio: Analog (hw:0,0)", .inputs = 2, .outputs = 2},
    {.number = 1, .name = "Bench Mic USB: Audio (hw:1,0)", .inputs = 1},
    {.number = 2, .name = "Screen: HDMI (hw:2,3)", .outputs = 8},
    {.number = 3, .name = "default", .inputs = 32, .outputs = 32, .default_input = true},
    {.number = 4, .name = "sysdefault", .inputs = 32, .outputs = 32, .default_output = true},
};

std::string picked(const std::string& choice, AudioDirection direction = AudioDirection::input) {
  return pick_device(kDevices, choice, direction).name;
}

std::string refusal(const std::string& choice, AudioDirection direction = AudioDirection::input) {
  try {
    return "picked " + picked(choice, direction);
  } catch (const BadInput& bad) {
    return bad.what();
  }
}

}  // namespace

TEST_CASE("a device is picked by number, by whole name or by a part that only it has") {
  CHECK(picked("1") == kDevices[1].name);
  CHECK(picked("bench mic") == kDevices[1].name);
  CHECK(picked("usb") == kDevices[1].name);
  CHECK(picked("BUILT-IN") == kDevices[0].name);
  CHECK(picked("default") == "default");  // the whole name wins over "sysdefault", which also holds it
  CHECK(picked("hdmi", AudioDirection::output) == kDevices[2].name);
}

TEST_CASE("without a choice the default device of that direction is picked, else the first able one") {
  CHECK(picked("") == "default");
  CHECK(picked("", AudioDirection::output) == "sysdefault");
  const std::vector<AudioDevice> no_default = {{.number = 0, .name = "only out", .outputs = 2},
                                               {.number = 1, .name = "first in", .inputs = 1}};
  CHECK(pick_device(no_default, "", AudioDirection::input).name == "first in");
}

TEST_CASE("what fits nothing or several is refused with the list of what would fit") {
  CHECK(refusal("cupboard") ==
        "microphone 'cupboard': no such device; one of these would be right: 0 'Built-in Audio: Analog (hw:0,0)', "
        "1 'Bench Mic USB: Audio (hw:1,0)', 3 'default', 4 'sysdefault'");
  CHECK(refusal("audio") ==
        "microphone 'audio': fits 2 devices; one number of these would be right: 0 'Built-in Audio: Analog (hw:0,0)', "
        "1 'Bench Mic USB: Audio (hw:1,0)'");
  CHECK(refusal("hdmi").find("no such device") != std::string::npos);  // plays, does not record
  for (const char* number : {"2", "5", "99999999999999999999", "-1"}) {
    CAPTURE(number);
    CHECK(refusal(number).find("no such device") != std::string::npos);
  }
  CHECK(refusal("1", AudioDirection::output).find("loudspeaker '1'") == 0);
}

TEST_CASE("a computer without a microphone is the outside's failure, not a wrong word") {
  const std::vector<AudioDevice> deaf = {{.number = 0, .name = "only out", .outputs = 2}};
  CHECK_THROWS_AS(pick_device(deaf, "", AudioDirection::input), OutsideFailed);
  CHECK_THROWS_AS(pick_device({}, "usb", AudioDirection::input), OutsideFailed);
}

TEST_CASE("rates are tried from the asked one to the common ones, none twice, none that is not listened to") {
  const auto rates = capture::rates_to_try(96000, 44100);
  REQUIRE(rates.size() > 3);
  CHECK(rates[0] == 96000);
  CHECK(rates[1] == 44100);
  CHECK(rates[2] == 48000);
  for (std::size_t i = 0; i < rates.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) CHECK(rates[i] != rates[j]);
  }
  for (const double rate_hz : capture::rates_to_try(48000, 8000)) CHECK((rate_hz >= 16000 && rate_hz <= 192000));
  for (const double wrong_hz : {0.0, 8000.0, 15999.0, 192001.0, -48000.0, std::nan(""), HUGE_VAL}) {
    CAPTURE(wrong_hz);
    CHECK_THROWS_AS(capture::rates_to_try(wrong_hz, 48000), BadInput);
  }
}
