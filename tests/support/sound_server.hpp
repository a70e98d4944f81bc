// A PulseAudio server of a test's own: one null sink called "bench", whose monitor is the microphone "bench_microphone"
// to PortAudio (through ALSA's pulse plug-in). Works as root and without a session bus; leaves no process and no file.
//
// What is played with play() into the sink is heard by whoever records "bench_microphone" with environment() in force.
// The microphone of a null sink at rest wakes up slowly: allow 3 s for the first block.
#pragma once

#include <chrono>
#include <string>
#include <utility>
#include <vector>

#include "support/child_process.hpp"
#include "support/temporary_folder.hpp"

namespace hushmill::test {

class SoundServer {
 public:
  static constexpr const char* kMicrophone = "bench_microphone";
  static constexpr const char* kLoudspeaker = "bench_speaker";

  /// How the null sink hands out its sound: in blocks of up to 2 s until somebody asks for less, or, like a sound card,
  /// at once (PulseAudio's "norewinds": 50 ms at most).
  enum class Pace { lazy, prompt };
  /// Starts the server and waits until it can be reached. Throws std::runtime_error with its log when it does not
  /// start.
  explicit SoundServer(Pace pace = Pace::lazy);
  ~SoundServer();
  SoundServer(const SoundServer&) = delete;
  SoundServer& operator=(const SoundServer&) = delete;

  /// What a program needs in its environment to see this server's devices and no others.
  std::vector<std::pair<std::string, std::string>> environment() const;
  /// Puts environment() into force for this process, so for PortAudio inside the test.
  void use_here() const;

  /// Plays a sound file into the sink, from now on.
  ChildProcess play(const std::filesystem::path& file) const;
  /// Suspends or wakes the sink and its monitor, as a sleeping device would be.
  void suspend(bool asleep) const;
  /// Takes the sink and its monitor away, as a pulled plug would, or brings them back at that rate; the server goes on.
  void unplug() const;
  void plug_in(int rate_hz = 48000) const;
  /// Gives the devices to another program for so long (pasuspender), and waits until it has given them back.
  void lend(std::chrono::seconds time);
  void take_back();
  /// Runs one of PulseAudio's own programs against this server and waits for its end, 10 s at most. Throws
  /// std::runtime_error when it fails.
  void tell(const std::vector<std::string>& words) const;
  /// Ends the server by its id, as if the device were pulled out; start() brings it back.
  void stop();
  void start();

 private:
  std::string socket() const;
  std::string sink(int rate_hz) const;

  Pace pace_;
  TemporaryFolder folder_;
  ChildProcess server_;
  ChildProcess borrower_;
};

}  // namespace hushmill::test
