#include "live/lesson_desk.hpp"

#include <algorithm>
#include <cmath>
#include <exception>

namespace hushmill::live {
namespace {

constexpr std::size_t kMostAtOnce = 2400;  // 50 ms: commands are heeded between
constexpr double kSpokenOver = 0.06;       // −24 dB
constexpr double kSlowest = 400;
constexpr auto kNewsFor = std::chrono::seconds(20);

}  // namespace

LessonDesk::LessonDesk(const LessonPlayerSettings& settings, Pace::Time start)
    : settings_(settings), wanted_(settings.name), pace_(lessons::kSampleRateHz, start) {
  if (!settings.sound) return;
  try {
    loudspeaker_ = std::make_unique<capture::Loudspeaker>(lessons::kSampleRateHz, settings.loudspeaker);
    set_volume();
  } catch (const std::exception& failure) {
    trouble_ = failure.what();
  }
}

LessonDesk::~LessonDesk() {
  try {
    end_recording();
  } catch (const std::exception&) {  // nobody is left to be told
  }
}

void LessonDesk::set_volume() {
  if (loudspeaker_) loudspeaker_->set_volume(volume_ * (spoken_over_ ? kSpokenOver : 1));
}

void LessonDesk::make_if_wanted() {
  if (!wanted_) return;
  news_.clear();
  try {
    end_recording();
  } catch (const std::exception& failure) {
    say(failure.what());
  }
  microphone_.reset();
  slow_ = 1;  // a lesson begins in its own time: slowed, its engine would wait minutes for a cut
  lesson_ = lessons::make_lesson(*std::exchange(wanted_, std::nullopt), settings_.seed);
  paused_ = false;
}

void LessonDesk::apply(const LessonCommand& command) {
  try {
    if (const auto* open = std::get_if<OpenLesson>(&command)) {
      wanted_ = open->name;
    } else if (std::holds_alternative<ResetLesson>(command)) {
      if (lesson_) wanted_ = lesson_->scene().name;
    } else if (const auto* turn = std::get_if<TurnControl>(&command)) {
      if (lesson_ && lesson_->set(turn->control, turn->value) && recording_)
        recording_->account().turned(lesson_->scene(), turn->control);
    } else if (const auto* deed = std::get_if<DoDeed>(&command)) {
      if (!lesson_) return;
      const lessons::Scene before = lesson_->scene();
      if (lesson_->act(deed->deed) && recording_) recording_->account().done(before, deed->deed);
    } else if (const auto* pause = std::get_if<PauseLesson>(&command)) {
      paused_ = pause->paused;
    } else if (const auto* slower = std::get_if<SlowLesson>(&command)) {
      slow(slower->times);
    } else if (const auto* volume = std::get_if<LessonVolume>(&command)) {
      volume_ = std::clamp(std::isfinite(volume->volume) ? volume->volume : 0.0, 0.0, 1.0);
      set_volume();
    } else if (const auto* speak = std::get_if<SpeakOver>(&command)) {
      spoken_over_ = speak->on;
      set_volume();
    } else if (const auto* record_it = std::get_if<RecordLesson>(&command)) {
      record(record_it->on);
    } else if (const auto* hear = std::get_if<HearForks>(&command)) {
      hear_microphone(hear->on);
    }
  } catch (const std::exception& failure) {
    say(failure.what());
  }
}

void LessonDesk::say(std::string news) {
  news_ = std::move(news);
  news_from_.reset();
}

void LessonDesk::slow(double times) {
  if (microphone_) {
    say("The microphone hears in real time; only the simulation can be slowed.");
    return;
  }
  slow_ = std::clamp(std::isfinite(times) ? times : 1.0, 1.0, kSlowest);
  if (recording_) recording_->account().slowed(lesson_->scene(), slow_);
}

void LessonDesk::record(bool on) {
  if (!on) return end_recording();
  if (recording_ || !lesson_) return;
  if (microphone_) {
    say("A lesson keeps its simulation only; what the microphone hears is not recorded.");
    return;
  }
  if (settings_.folder.empty()) {
    say("No folder to record into was given.");
    return;
  }
  const lessons::Scene scene = lesson_->scene();
  recording_ = std::make_unique<LessonRecording>(free_lesson_file(settings_.folder, scene.name), scene);
  if (slow_ > 1) recording_->account().slowed(scene, slow_);
  say("Recording " + recording_->file().filename().string());
}

void LessonDesk::end_recording() {
  if (!recording_) return;
  const auto ended = std::move(recording_);
  if (lesson_) ended->account().look(lesson_->scene());
  ended->close();
  say("Kept " + ended->file().string() + " and what was done, as text beside it");
}

void LessonDesk::hear_microphone(bool on) {
  if (!on) {
    if (!microphone_) return;
    microphone_.reset();
    if (lesson_) wanted_ = lesson_->scene().name;  // the simulated forks again
    return;
  }
  if (microphone_ || !lesson_ || !lesson_->can_hear()) return;
  end_recording();
  microphone_ = std::make_unique<capture::Microphone>(
      capture::MicrophoneSettings{.device = settings_.microphone, .sample_rate_hz = lessons::kSampleRateHz});
  slow_ = 1;
  if (microphone_->sample_rate_hz() != lessons::kSampleRateHz) {
    microphone_.reset();
    say("The microphone does not give 48 000 samples a second; real forks need that.");
  }
}

bool LessonDesk::step(Pace::Time now) {
  const std::size_t due = std::min(pace_.due(now), kMostAtOnce);
  if (due == 0) return false;
  pace_.took(due);
  if (!news_from_) news_from_ = now;
  if (now - *news_from_ > kNewsFor) news_.clear();
  if (!lesson_) return true;
  if (microphone_) {
    lesson_sound_.resize(kMostAtOnce);
    const std::size_t heard = microphone_->read(lesson_sound_);
    if (heard > 0 && !paused_) lesson_->hear(std::span<const float>(lesson_sound_).first(heard));
    trouble_ = microphone_->trouble();
    return true;
  }
  go_on(due);
  return true;
}

void LessonDesk::go_on(std::size_t samples) {
  played_.assign(samples, 0.0F);
  if (!paused_) {
    const double to = left_over_ + static_cast<double>(samples) / slow_;
    const auto needed = static_cast<std::size_t>(to);
    lesson_sound_.resize(needed);
    lesson_->process(lesson_sound_);
    // Slowed sound is the same sound drawn out, by straight lines between its samples, one of them late.
    const auto value = [this](std::ptrdiff_t at) {
      return at < 1 ? last_[static_cast<std::size_t>(at + 1)] : lesson_sound_[static_cast<std::size_t>(at - 1)];
    };
    for (std::size_t i = 0; i < samples && slow_ <= kSlowestHeard; ++i) {
      const double at = left_over_ + static_cast<double>(i + 1) / slow_;
      const auto whole = static_cast<std::ptrdiff_t>(at);
      played_[i] =
          value(whole - 1) + static_cast<float>(at - static_cast<double>(whole)) * (value(whole) - value(whole - 1));
    }
    left_over_ = to - static_cast<double>(needed);
    if (needed > 0)
      last_ = {value(static_cast<std::ptrdiff_t>(needed) - 1), value(static_cast<std::ptrdiff_t>(needed))};
    if (recording_) {
      recording_->write(lesson_sound_);
      recording_->account().look(lesson_->scene());
    }
  }
  if (loudspeaker_) loudspeaker_->push(played_);
}

void LessonDesk::fill(LessonState& state) const {
  if (lesson_) state.scene = lesson_->scene();
  state.making = wanted_.has_value() || !lesson_;
  state.paused = paused_;
  state.slow = slow_;
  state.volume = loudspeaker_ ? volume_ : 0;
  state.spoken_over = spoken_over_;
  state.microphone = microphone_ != nullptr;
  state.recording = recording_ != nullptr;
  state.recorded_s = recording_ ? recording_->seconds() : 0;
  state.news = news_;
  state.trouble = trouble_;
}

}  // namespace hushmill::live
