// The guided check of a microphone: three seconds of room, then three claps and a steady tone, played by a person or by
// Hushmill itself. Ends in a pass or a named fault.
//
// Pure and causal, time is the sample count: a recording and a microphone are checked alike. Over when a tone of four
// seconds and the quiet after it were heard, or when the time is up. Not for the audio thread: state() may allocate.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "listen/input_frame.hpp"
#include "listen/level_meter.hpp"
#include "listen/microphone_truth.hpp"
#include "listen/tone_trial.hpp"

namespace hushmill::listen {

enum class CheckStage { room, sounds, quiet_after, over };
enum class CheckResult { open, pass, fault, unfinished };

/// "room", "sounds", "quiet_after", "over".
std::string_view word(CheckStage stage) noexcept;
/// "open", "pass", "fault", "unfinished".
std::string_view word(CheckResult result) noexcept;

struct CheckSettings {
  double sample_rate_hz = 48000;
  double tone_hz = 1000;   ///< that is played; any tone is judged by its steadiness, this one by its frequency, too
  double longest_s = 30;   ///< then the check is over in any case
};

/// How the check stands.
struct CheckState {
  CheckStage stage = CheckStage::room;
  CheckResult result = CheckResult::open;  ///< open until the check is over
  double heard_s = 0;
  double stage_s = 0;         ///< heard of this stage
  double room_dbfs = -200;    ///< −200 before the room stage is over
  double level_dbfs = -200;   ///< last tenth of a second
  double loudest_dbfs = -200; ///< loudest 20 ms
  int claps = 0;
  std::optional<HeardTone> tone;
  bool tone_tried = false;    ///< a tone was heard long enough to say that steady tones get through
  std::vector<MicrophoneFinding> faults;  ///< worst first
};

class MicrophoneCheck {
 public:
  /// Room and tone as long as this are asked for.
  static constexpr double kRoomS = 3;
  static constexpr double kToneS = 4;
  static constexpr int kClaps = 3;

  /// Throws std::invalid_argument for a rate outside 16 to 192 kHz or a tone outside 200 to 5000 Hz.
  explicit MicrophoneCheck(const CheckSettings& settings);

  /// Next samples, any number. After the check is over they are ignored.
  void process(std::span<const float> samples);
  /// A fault that only the door can know of (channels, lost sound).
  void note(Warning fault);
  /// No more sound will come.
  void finish();
  bool over() const noexcept { return stage_ == CheckStage::over; }
  CheckState state() const;

 private:
  void run_frame();
  void enter(CheckStage stage) noexcept;
  void follow_claps(double power) noexcept;
  void judge_tone(std::vector<MicrophoneFinding>& faults) const;
  double now_s() const noexcept { return static_cast<double>(sample_) / settings_.sample_rate_hz; }

  CheckSettings settings_;
  LevelMeter level_;
  MicrophoneTruth truth_;
  ToneTrial trial_;
  std::vector<float> newest_;  ///< what the tone trial looks at, then the frame being filled
  std::size_t frame_samples_;
  std::size_t filled_;
  std::uint64_t sample_ = 0;
  std::uint64_t frames_ = 0;
  CheckStage stage_ = CheckStage::room;
  double stage_from_s_ = 0;
  bool at_end_ = false;
  double frame_sum_ = 0;

  std::vector<double> room_powers_;  ///< of its frames; a full-scale sine has 1
  double room_power_ = 0;
  double tenth_ = 0, tenth_sum_ = 0;
  double loudest_ = 0;

  int claps_ = 0;
  double clap_power_ = 0;   ///< of the clap that may be under way
  double clap_s_ = -1;
  double power_before_ = 0;
  std::vector<MicrophoneFinding> noted_;
};

}  // namespace hushmill::listen
