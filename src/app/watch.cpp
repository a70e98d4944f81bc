#include "app/watch.hpp"

#include <chrono>
#include <cmath>
#include <cstdio>
#include <thread>
#include <vector>

#include <fmt/format.h>

#include "app/inch_words.hpp"
#include "app/beyond_limit.hpp"
#include "app/json.hpp"
#include "app/review.hpp"
#include "app/sides_warning.hpp"
#include "app/stop_signals.hpp"
#include "app/text.hpp"
#include "app/timed_feed.hpp"
#include "app/trial_lines.hpp"
#include "app/trial_text.hpp"
#include "app/warning_texts.hpp"
#include "text/outside_text.hpp"
#include "cutting/speeds.hpp"
#include "live/advice_memory.hpp"
#include "live/session_trials.hpp"
#include "live/trials_kept.hpp"
#include "listen/listener.hpp"
#include "live/why_no_advice.hpp"

namespace hushmill::app {

namespace {
using Clock = std::chrono::steady_clock;

constexpr double kWatchBlockS = 0.02;
constexpr std::chrono::milliseconds kLookAgainEvery{250};
constexpr std::size_t kRemediesShown = 3;

std::string between_teeth(double hz, double tooth_hz) {
  const double waves = hz / tooth_hz;
  char text[80];
  if (waves < 1)
    std::snprintf(text, sizeof text, "below the first tooth multiple");
  else
    std::snprintf(text, sizeof text, "between tooth multiples %d and %d", static_cast<int>(waves), static_cast<int>(waves) + 1);
  return text;
}

std::string speed_line(const char* way, const std::optional<advise::Candidate>& c, bool inches) {
  if (!c) return {};
  const std::string likely = c->likelihood ? fmt::format(", {:.0f} % likely quiet", 100 * *c->likelihood) : std::string();
  std::string knob = ", no step of the knob";
  if (!c->knob_leaves_pocket) {
    knob = fmt::format(", knob {:.4g} %", c->knob_percent);
    if (c->knob_likelihood) knob += fmt::format(": {:.0f} %", 100 * *c->knob_likelihood);
  }
  return fmt::format("{} S{:.0f}{}{} (override {:.1f} %{})", way, c->spindle_rpm, c->feed_mm_min ? " " + feed_words(*c->feed_mm_min, inches) : std::string(), likely,
                     c->override_percent, knob);
}

class Monitor {
 public:
  Monitor(const WatchSettings& settings, listen::Listener& listener, const trial::TrialBook& book)
      : settings_(settings), listener_(listener), book_(book) {}

  void show(const listen::Event& event) {
    if (settings_.json)
      show_json(event);
    else
      show_text(event);
    std::fflush(stdout);
    if (settings_.keeper) keep(event);
  }

  /// A changed speed that did not clear it: chatter goes on without a new alarm, so the advice is said again, for this speed.
  void show_went_on() {
    const auto& findings = listener_.findings();
    if (findings.episodes.empty() || !findings.episodes.back().open || findings.stretches.size() == told_stretches_) return;
    const auto& episode = findings.episodes.back();
    const auto& stretch = live::chattered_at(findings, episode);
    if (&stretch != &findings.stretches.back() || stretch.from_s <= episode.alert_s) return;
    told_stretches_ = findings.stretches.size();
    const auto running = book_.running(findings);
    const auto what = advice(episode);
    const double now_s = listener_.snapshot().t_s;
    const auto& chatter = listener_.snapshot().chatter;
    const double hz = chatter ? chatter->chatter_hz : episode.chatter_hz;
    if (settings_.json) {
      std::puts(dump(Json{{"t_s", std::round(now_s * 1e4) / 1e4}, {"event", "chatter_goes_on"}, {"spindle_rpm", stretch.entered_rpm},
                          {"chatter_hz", std::round(hz * 1e3) / 1e3}, {"advice", to_json(what)}}, -1).c_str());
    } else {
      std::printf("%8.2f s  S%.0f did not clear it: %.0f Hz goes on%s\n", now_s, stretch.entered_rpm, hz,
                  running && !running->believed() ? " (the sound says another speed)" : "");
      show_advice(what);
    }
    std::fflush(stdout);
    if (settings_.keeper) settings_.keeper->note(live::KeptAdvice{now_s, static_cast<std::int64_t>(findings.episodes.size()), what});
  }

  /// A speed that was entered beyond a limit.
  void show_beyond() {
    const auto& stretches = listener_.findings().stretches;
    for (; limits_told_ < stretches.size(); ++limits_told_) {
      const auto card = settings_.cut.card();
      const auto words = beyond_limit(stretches[limits_told_].entered_rpm, card.min_rpm, lower_of(card.max_rpm, card.tool_max_rpm));
      if (words.empty()) continue;
      if (settings_.json)
        std::puts(dump(Json{{"t_s", std::round(stretches[limits_told_].from_s * 1e4) / 1e4}, {"event", "beyond_limit"}, {"spindle_rpm", stretches[limits_told_].entered_rpm}, {"text", words}}, -1).c_str());
      else
        std::printf("%8.2f s  %s\n", stretches[limits_told_].from_s, words.c_str());
    }
  }

  /// Sound that was lost on its way.
  void show_gap(double t_s, double lost_s) {
    if (settings_.json)
      std::puts(dump(Json{{"t_s", std::round(t_s * 1e4) / 1e4}, {"event", "sound_lost"}, {"lost_s", std::round(lost_s * 1e4) / 1e4}}, -1).c_str());
    else
      std::printf("%8.2f s  sound lost here: %.2f s\n", t_s, lost_s);
    std::fflush(stdout);
    if (settings_.keeper) settings_.keeper->note(live::KeptLoss{t_s, lost_s});
  }

  /// What is in the journal by now; only then it is said. Troubles go to standard error, each once.
  void show_kept() {
    if (settings_.keeper && settings_.keeper->take(kept_)) tell_kept();
  }
  void tell_kept() {
    if (settings_.json && kept_.kept_events > shown_kept_) {
      std::puts(dump(Json{{"t_s", std::round(listener_.snapshot().t_s * 1e4) / 1e4}, {"event", "kept"}, {"count", kept_.kept_events},
                          {"session", kept_.session}}, -1).c_str());
      std::fflush(stdout);
    }
    shown_kept_ = kept_.kept_events;
    tell_trouble(kept_.sound_trouble, shown_sound_trouble_);
    tell_trouble(kept_.journal_trouble, shown_journal_trouble_);
  }

  /// At the end: until the journal has every event, or something is wrong, at most ten seconds.
  void wait_until_kept() {
    const auto noted = settings_.keeper->noted();
    for (int turns = 0; turns < 1000 && kept_.journal_trouble.empty(); ++turns) {
      show_kept();
      if (!kept_.journal || kept_.kept_notes >= noted) break;
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    const bool was_journal = kept_.journal;
    if (was_journal && kept_.kept_notes < noted) {
      kept_ = settings_.keeper->close();  // it tries once more
      tell_kept();
    }
    const bool all = kept_.kept_notes >= noted;
    if (was_journal && !all) std::fprintf(stderr, "hushmill: %s\n", live::not_all_kept(kept_, noted).c_str());
    if (settings_.json) return;
    if (was_journal && all)
      std::printf("            kept in the journal as session %lld\n", static_cast<long long>(kept_.session));
    // A WAV may be packed into FLAC yet: only the name is sure.
    if (kept_.kept_recordings > 0) std::printf("            recorded as %s\n", text::plain_line(kept_.last_file.substr(0, kept_.last_file.rfind('.'))).c_str());
  }

 private:
  static void tell_trouble(const std::string& trouble, std::string& shown) {
    if (!trouble.empty() && trouble != shown) std::fprintf(stderr, "hushmill: %s\n", text::plain_line(trouble).c_str());
    if (!trouble.empty()) shown = trouble;
  }

  void keep(const listen::Event& event) {
    const auto& now = listener_.snapshot();
    const auto& findings = listener_.findings();
    settings_.keeper->note(live::kept_event(event, findings, now.entered_rpm, now.measured_rpm));
    if (event.kind != listen::EventKind::chatter_onset) return;
    settings_.keeper->note(live::KeptAdvice{event.t_s, event.index + 1, advice(findings.episodes[static_cast<std::size_t>(event.index)])});
  }

  advise::Advice advice(const listen::Episode& episode) {
    const auto& now = listener_.snapshot();
    said_before_ = false;
    if (const auto why = live::why_no_advice(book_.heard_instead(listener_.findings())); !why.empty()) {
      advise::Advice none;
      none.reason = why;
      return none;
    }
    const live::ChatterKey key{now.entered_rpm, now.chatter ? now.chatter->chatter_hz : episode.chatter_hz, listener_.findings().stretches.size()};
    if (const auto* known = memory_.find(key); known != nullptr && episode.return_of) {
      said_before_ = true;
      return *known;
    }
    auto what = advice_for(settings_.cut, {0, 0, now.entered_rpm, now.measured_rpm, now.rpm_uncertainty}, episode,
                                 listener_.findings());
    memory_.add(key, what);
    return what;
  }

  void show_advice(const advise::Advice& what) {
    const bool lower_first = !what.prefer || *what.prefer == advise::Direction::lower;
    const auto lower = speed_line("down to", what.lower, settings_.cut.inches);
    const auto higher = speed_line("up to", what.higher, settings_.cut.inches);
    const auto& first = lower_first && !lower.empty() ? lower : higher;
    const auto& second = lower_first ? higher : lower;
    if (!first.empty() && said_before_) {
      std::printf("            as before: %s\n", first.c_str());
      return;
    }
    if (!first.empty() || !what.remedies.empty()) std::puts("            Advice only: doors shut, guards on, no limit passed.");
    if (!first.empty())
      std::printf("            first: %s%s%s\n", first.c_str(), second.empty() || &first == &second ? "" : ";  or: ",
                  &first == &second ? "" : second.c_str());
    std::printf("            %s\n", text::plain_line(what.reason).c_str());
    if (what.cautions != said_cautions_)
      for (std::size_t i = advise::kCommonCautions; i < what.cautions.size(); ++i) std::printf("            %s\n", what.cautions[i].c_str());
    said_cautions_ = what.cautions;
    if (!what.taps_say.empty()) std::printf("            %s\n", what.taps_say.c_str());
    if (!what.notes.empty()) std::printf("            %s\n", what.notes.front().c_str());
    if (what.speed_may_not_do) std::puts("            Speed alone will probably not do. Beside it, strongest first:");
    for (std::size_t i = 0; i < std::min(what.remedies.size(), kRemediesShown); ++i) std::printf("            %s\n", what.remedies[i].text.c_str());
  }

  void show_json(const listen::Event& event) {
    Json line{{"t_s", std::round(event.t_s * 1e4) / 1e4}, {"event", listen::word(event.kind)}};
    const auto& findings = listener_.findings();
    switch (event.kind) {
      case listen::EventKind::chatter_onset:
      case listen::EventKind::chatter_ends: {
        const auto& episode = findings.episodes[static_cast<std::size_t>(event.index)];
        line.update(to_json(episode));
        if (event.kind == listen::EventKind::chatter_onset) line["advice"] = to_json(advice(episode));
        break;
      }
      case listen::EventKind::foreign_tone:
        line["hz"] = findings.foreign_tones[static_cast<std::size_t>(event.index)].hz;
        line["may_be_chatter"] = findings.foreign_tones[static_cast<std::size_t>(event.index)].may_be_chatter;
        break;
      case listen::EventKind::forced_vibration: line["tooth_multiple"] = event.index; break;
      case listen::EventKind::other_speed_fits:
        if (findings.other_fit) line.update(to_json(*findings.other_fit));
        break;
      default: break;
    }
    std::puts(dump(line, -1).c_str());
  }

  void show_text(const listen::Event& event) {
    const auto& findings = listener_.findings();
    const double tooth_hz = listener_.snapshot().tooth_passing_hz;
    switch (event.kind) {
      case listen::EventKind::cut_begins: std::printf("%8.2f s  cut begins\n", event.t_s); break;
      case listen::EventKind::cut_ends: std::printf("%8.2f s  cut ends\n", event.t_s); break;
      case listen::EventKind::chatter_onset: {
        const auto& e = findings.episodes[static_cast<std::size_t>(event.index)];
        std::printf("%8.2f s  CHATTER at %.0f Hz, %s%s\n", event.t_s, e.chatter_hz, between_teeth(e.chatter_hz, tooth_hz).c_str(),
                    e.return_of ? "; it came back" : "");
        show_advice(advice(e));
        break;
      }
      case listen::EventKind::chatter_ends: {
        const auto& e = findings.episodes[static_cast<std::size_t>(event.index)];
        std::printf("%8.2f s  quiet again; %.0f Hz sang for %.1f s\n", event.t_s, e.chatter_hz, e.end_s - e.start_s);
        break;
      }
      case listen::EventKind::foreign_tone:
        std::printf("%8.2f s  %s: %.0f Hz\n", event.t_s, tone_text(findings.foreign_tones[static_cast<std::size_t>(event.index)]),
                    findings.foreign_tones[static_cast<std::size_t>(event.index)].hz);
        break;
      case listen::EventKind::forced_vibration:
        std::printf("%8.2f s  loud, but in step with the teeth: tooth multiple %d (forced vibration)\n", event.t_s, event.index);
        break;
      case listen::EventKind::other_speed_fits:
        std::printf("%8.2f s  %s\n", event.t_s, warning_text(listen::Warning::other_speed_fits, findings).c_str());
        break;
    }
  }

  const WatchSettings& settings_;
  listen::Listener& listener_;
  const trial::TrialBook& book_;
  live::KeepingState kept_;
  std::uint64_t shown_kept_ = 0;
  std::size_t told_stretches_ = 0, limits_told_ = 0;
  std::vector<std::string> said_cautions_;
  live::AdviceMemory memory_;
  bool said_before_ = false;  // the advice asked last
  std::string shown_sound_trouble_, shown_journal_trouble_;
};
/// Waits for a source that was lost; false when the person stops it, or when it stayed away for as long as there was left to hear.
bool comes_back(capture::Source& source, std::optional<double> left_s, Monitor& monitor) {
  const auto lost = Clock::now();
  while (!StopSignals::asked() && !(left_s && Clock::now() - lost > std::chrono::duration<double>(*left_s))) {
    std::this_thread::sleep_for(kLookAgainEvery);
    monitor.show_kept();
    if (source.reopen()) return true;
  }
  return false;
}

}  // namespace

int watch(capture::Source& source, const WatchSettings& settings) {
  const double rate = source.sample_rate_hz();
  listen::Listener listener({rate, settings.cut.spindle_rpm, settings.cut.comb_flutes(), settings.cut.flutes / settings.cut.comb_flutes()});
  trial::TrialBook book(settings.trials.rules, settings.trials.tags);
  TimedFeed feed(listener, book, rate, settings.cut.rpm_at);
  Monitor monitor(settings, listener, book);
  TrialLines trial_lines(settings.json, listener, book);
  const auto show_news = [&] {
    for (const auto& event : listener.take_events()) monitor.show(event);
    for (const auto& line : trial_lines.take()) std::puts(line.c_str());
    monitor.show_beyond();
    monitor.show_went_on();
    std::fflush(stdout);
  };
  std::optional<StopSignals> stop(std::in_place);

  if (!settings.json) {
    std::printf("Listening to %s at %.0f Hz: %.0f rev/min, %d flutes, teeth pass at %.1f Hz. Ctrl-C ends.\n", source.name().c_str(), rate,
                settings.cut.spindle_rpm, settings.cut.flutes, cutting::tooth_passing_hz(settings.cut.spindle_rpm, settings.cut.flutes));
    std::fputs(kCautions, stdout);
    std::fflush(stdout);
  }

  std::vector<float> block(static_cast<std::size_t>(kWatchBlockS * rate));
  const auto start = Clock::now();
  bool failed = false;
  std::size_t trials_kept = 0;
  double progress_s = 0;
  while (!StopSignals::asked()) {
    std::size_t want = block.size();
    if (settings.for_s) {
      const auto last = static_cast<std::int64_t>(std::llround(*settings.for_s * rate));
      if (feed.heard() >= last) break;
      want = std::min(want, static_cast<std::size_t>(last - feed.heard()));
    }
    if (settings.keep_pace)
      std::this_thread::sleep_until(start + std::chrono::duration_cast<Clock::duration>(
                                                std::chrono::duration<double>(static_cast<double>(feed.heard()) / rate)));
    const std::size_t n = source.read(std::span<float>(block).first(want));
    if (n == 0 && source.ended()) {
      const auto trouble = source.trouble();
      if (!trouble.empty()) {
        std::fprintf(stderr, "hushmill: %s\n", text::plain_line(trouble).c_str());
        failed = true;
      }
      if (!settings.may_return) break;
      std::optional<double> left_s;
      if (settings.for_s) left_s = *settings.for_s - static_cast<double>(feed.heard()) / rate;
      if (!comes_back(source, left_s, monitor)) break;
      failed = false;
      continue;
    }
    const std::size_t speeds = listener.findings().stretches.size();
    feed.hear(std::span<const float>(block).first(n));
    if (const auto gap = source.take_gap()) {
      listener.note_gap();
      monitor.show_gap(static_cast<double>(gap->before_sample) / rate, static_cast<double>(gap->samples) / rate);
    }
    if (settings.keeper) {
      settings.keeper->hear(std::span<const float>(block).first(n));
      for (std::size_t i = speeds; i < listener.findings().stretches.size(); ++i) {
        const auto& stretch = listener.findings().stretches[i];
        auto card = settings.cut.card();
        card.override_percent = 100 * stretch.entered_rpm / card.programmed_rpm;
        settings.keeper->note(live::KeptCard{stretch.from_s, card});
      }
    }
    show_news();
    if (settings.keeper && live::progress_due(listener.snapshot().t_s, progress_s, listener.findings())) {
      progress_s = listener.snapshot().t_s;
      settings.keeper->note(live::kept_progress(progress_s, listener.findings(), book.last_trials(listener.findings(), live::kTrialsToldAgain)));
    }
    if (settings.keeper && book.ended() > trials_kept) {  // a kill costs the journal only the trial that runs
      const auto trials = book.trials(listener.findings());
      settings.keeper->note(live::KeptTrials{live::trials_kept(trials), trial::speed_table(trials)});
      trials_kept = book.ended();
    }
    monitor.show_kept();
  }
  tell_of_sides(source, listener);
  if (source.lost_samples() > 0) listener.warn(listen::Warning::dropped_samples);
  feed.finish();
  show_news();
  stop.reset();

  const auto& findings = listener.findings();
  if (settings.keeper) {
    const auto trials = book.trials(findings);
    settings.keeper->note(live::KeptTrials{live::trials_kept(trials), trial::speed_table(trials)});
    settings.keeper->note(live::KeptEnd{static_cast<double>(feed.heard()) / rate, findings});
    monitor.wait_until_kept();
  }
  if (!settings.json) {
    std::printf("%8.2f s  heard; %zu cut%s, %zu time%s chatter", static_cast<double>(feed.heard()) / rate, findings.cuts.size(),
                findings.cuts.size() == 1 ? "" : "s", findings.episodes.size(), findings.episodes.size() == 1 ? "" : "s");
    if (source.lost_samples() > 0) std::printf("; %llu samples were lost", static_cast<unsigned long long>(source.lost_samples()));
    std::puts("");
    if (const auto trials = book.trials(findings); trials.size() > 1 || !settings.trials.tags.empty())
      std::fputs(speeds_text(trials, trial::speed_table(trials)).c_str(), stdout);
    for (const auto warning : findings.warnings) std::printf("Note: %s\n", warning_text(warning, findings).c_str());
  }
  return failed ? 1 : 0;
}

}  // namespace hushmill::app
