#include "capture/recording.hpp"

#include <vector>

#include "capture/errors.hpp"
#include "fuzz/own_folder.hpp"

namespace hushmill::fuzz {

void recording(Input input) {
  constexpr capture::Channel kChannels[] = {capture::Channel::mix, capture::Channel::left, capture::Channel::right};
  constexpr std::uint64_t kLongest = 4'000'000;  // a few bytes of FLAC may be hours of silence: true, and slow
  const auto file = own_folder() / "sound.wav";
  put_file(file, input);
  try {
    capture::Recording recording(file, kChannels[input.size() % 3], 8000);
    promise(recording.channels() == 1 || recording.channels() == 2, "a recording has one channel or two");
    promise(recording.sample_rate_hz() >= 8000 && recording.sample_rate_hz() <= 192000, "a recording's rate is one that is listened to");
    recording.comment();
    std::vector<float> piece(1000);
    while (!recording.ended() && recording.samples_read() < kLongest) recording.read(piece);
    promise(recording.samples_read() > 0, "a recording holds sound");
    if (const auto trouble = recording.trouble(); !trouble.empty()) promise_one_line(trouble);
    for (const std::uint64_t sample : {std::uint64_t{0}, recording.samples_read() / 2, ~std::uint64_t{0} / 2})
      if (recording.seek(sample)) recording.read(piece);
  } catch (const capture::BadInput& refused) {
    promise_one_line(refused.what());
  }
}

}  // namespace hushmill::fuzz
