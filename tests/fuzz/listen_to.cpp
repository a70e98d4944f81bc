#include "fuzz/listen_to.hpp"

#include <cmath>
#include <stdexcept>

#include "fuzz/made_sound.hpp"
#include "fuzz/promise.hpp"
#include "listen/listener.hpp"
#include "listen/microphone_check.hpp"
#include "trial/speed_table.hpp"
#include "trial/trial_book.hpp"
#include "trial/words.hpp"

namespace hushmill::fuzz {
namespace {

constexpr std::size_t kMostPieces = 24;

void promise_sense(const listen::Snapshot& now, const listen::Findings& findings) {
  promise(now.confidence >= 0 && now.confidence <= 1, "confidence lies between 0 and 1");
  promise(std::isfinite(now.level_dbfs) && std::isfinite(now.peak_dbfs), "levels are numbers");
  promise(std::isfinite(now.tooth_passing_hz) && now.tooth_passing_hz >= 0, "teeth pass");
  promise(!now.measured_rpm || (std::isfinite(*now.measured_rpm) && *now.measured_rpm > 0), "a measured speed is one");
  for (const float level : now.spectrum_dbfs) promise(std::isfinite(level), "the spectrum holds numbers");
  for (const auto& peak : now.peaks) promise(std::isfinite(peak.hz) && std::isfinite(peak.dbfs), "peaks are numbers");
  for (const auto& episode : findings.episodes)
    promise(std::isfinite(episode.chatter_hz) && episode.chatter_hz > 0 && episode.start_s <= episode.alert_s && episode.alert_s <= now.t_s + 1e-9,
            "an episode has a tone and is raised by what was heard");
}

void say_all(const trial::TrialBook& book, const listen::Findings& findings) {
  const auto trials = book.trials(findings);
  for (const auto& one : trials)
    for (const auto& words : {trial::sentence(one), trial::quiet_so_far(one)}) promise_one_line(words);
  for (const auto& one : trials) {
    trial::lap_words(one);
    trial::comparison_words(one);
  }
  const auto table = trial::speed_table(trials);
  promise(table.rows.size() <= trials.size(), "a speed in the table was tried");
  trial::table_words(table);
}

}  // namespace

void listen_to(Input input, std::size_t longest, std::size_t most) {
  Food food(input);
  constexpr double kRates[] = {16000, 22050, 24000, 44100, 48000, 16001.5, 96000, 192000};
  const double rate_hz = kRates[food.below(std::size(kRates))];
  const auto speed = [&] { return 10 * std::exp(static_cast<double>(food.word(2)) / 65535 * std::log(20000.0)); };
  listen::Listener listener({rate_hz, speed(), 1 + static_cast<int>(food.below(64)), 1 + static_cast<int>(food.below(4))});
  listen::MicrophoneCheck check({.sample_rate_hz = rate_hz});
  trial::TrialBook book(trial::Rules{});
  std::vector<float> sound;
  std::size_t heard = 0;
  for (std::size_t piece = 0; piece < kMostPieces && !food.empty() && sound.size() < most; ++piece) {
    add_piece(food, rate_hz, longest, sound);
    const std::size_t block = 1 + food.below(5000);
    while (heard < sound.size()) {
      const auto next = std::span<const float>(sound).subspan(heard, std::min(block, sound.size() - heard));
      listener.process(next);
      check.process(next);
      book.process(listener.snapshot(), listener.findings());
      heard += next.size();
    }
    switch (food.below(8)) {
      case 0: listener.set_spindle_rpm(speed()); break;
      case 1: listener.set_flutes(1 + static_cast<int>(food.below(64))); break;
      case 2: listener.take_events(); break;
      case 3: book.mark(listener.snapshot().t_s); break;
      case 4: book.new_set_up(listener.snapshot().t_s); break;
      case 5: listener.warn(listen::Warning::one_sided); break;
      case 6:
        try {
          listener.set_spindle_rpm(food.number());
        } catch (const std::invalid_argument& refused) {
          promise_one_line(refused.what());
        }
        break;
      default: listener.note_gap(); break;
    }
    promise_sense(listener.snapshot(), listener.findings());
    check.state();
  }
  listener.finish();
  check.finish();
  check.state();
  book.finish(listener.findings());
  say_all(book, listener.findings());
  promise_sense(listener.snapshot(), listener.findings());
}

}  // namespace hushmill::fuzz
