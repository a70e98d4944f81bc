#include "app/kept_trials.hpp"

#include <cstdio>

#include "app/keep_options.hpp"
#include "journal/journal.hpp"
#include "live/earlier_trials.hpp"

namespace hushmill::app {

void take_kept_trials(const CutOptionTexts& texts, CutOptions& cut) {
  if (texts.tried_sessions.empty()) return;
  journal::Journal journal(data_folder(texts.data), journal::Journal::Open::must_be_there);
  for (auto text = texts.tried_sessions.rbegin(); text != texts.tried_sessions.rend(); ++text) {
    const auto record = journal.session(parse_whole("--tried-session", *text, 1, 2147483647));
    const auto earlier = live::earlier_trials(record, cut.card());
    if (earlier.trials.empty())
      throw UsageError("--tried-session is " + *text + ", and that session tried nothing " +
                       (earlier.other_cut ? "on this cut (flutes, diameter, width, depth and milling, as far as they are known)" : "that ended held or chattered") +
                       "; one that did (hushmill journal show N) would be right");
    std::fprintf(stderr, "hushmill: session %s counts as tried: %s%s\n", text->c_str(), live::tried_text(earlier.trials).c_str(),
                 earlier.depth_not_noted ? " (its depth was not written down: only you know whether it was this one)"
                 : earlier.other_cut     ? " (what it tried on another cut is left out)"
                                         : "");
    live::add_untold(earlier.trials, cut.tried);
  }
}

}  // namespace hushmill::app
