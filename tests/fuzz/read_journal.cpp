#include "fuzz/read_journal.hpp"

#include <cmath>
#include <exception>
#include <limits>

#include "app/journal_export.hpp"
#include "app/journal_text.hpp"
#include "app/report_content.hpp"
#include "capture/errors.hpp"
#include "fuzz/promise.hpp"
#include "journal/errors.hpp"
#include "journal/strays.hpp"
#include "live/card_question.hpp"
#include "live/earlier_trials.hpp"
#include "live/open_ends.hpp"
#include "live/shelf.hpp"
#include "report/writers.hpp"

namespace hushmill::fuzz {
namespace {

constexpr std::size_t kMostSessions = 3;

// A card of the journal goes to the engine and to the adviser: it must be one that they may be asked about, or be refused.
void promise_card(const live::CutCard& card) {
  promise(card.comb_flutes() > 0 || card.flutes <= 0, "a cutter looks the same at least once a revolution");
  try {
    live::check_card(card);
  } catch (const std::invalid_argument& refused) {
    promise_one_line(refused.what());
  }
}

void read_session(journal::Journal& journal, std::int64_t number) {
  auto record = journal.session(number);
  live::find_open_ends(record, journal.folder());
  app::to_text(record);
  const auto content = app::report_content(record, [](double from_s, double to_s) {
    // What the report's own reader turns them into.
    promise(!std::isnan(from_s) && !std::isnan(to_s), "times of a picture are numbers");
    return app::SoundOrNot{std::nullopt, "none"};
  });
  promise(report::to_html(content).size() < 4'000'000, "a small journal gives a small report");
  for (const auto& trial : live::earlier_trials(record, live::CutCard{}).trials) promise(trial.spindle_rpm > 0, "a tried speed is one");
  try {
    const auto subject = live::subject_of(record, journal.folder(), std::nullopt);
    promise_card(subject.card);
    for (const auto& step : subject.steps)
      if (const auto* change = std::get_if<live::ChangeCard>(&step.command)) promise_card(change->card);
  } catch (const capture::BadInput& refused) {
    promise_one_line(refused.what());
  }
}

template <class Work>
void read_or_refuse(Work&& work) {
  try {
    work();
  } catch (const journal::BadJournal& refused) {
    promise_one_line(refused.what());
  } catch (const journal::JournalFailed& failed) {
    promise_one_line(failed.what());
  }
}

}  // namespace

void read_journal(const std::filesystem::path& folder) {
  read_or_refuse([&] {
    journal::Journal journal(folder, journal::Journal::Open::must_be_there);
    read_or_refuse([&] {
      const auto sessions = journal.sessions();
      app::to_text(sessions);
      journal.sessions("mill%_");
      for (std::size_t i = 0; i < std::min(sessions.size(), kMostSessions); ++i) read_or_refuse([&] { read_session(journal, sessions[i].session.id); });
    });
    read_or_refuse([&] {
      const auto recordings = journal.recordings();
      app::recordings_text(recordings);
      live::sounds_of(recordings, folder);
      journal::strays(journal);
      journal.prunable({30, 1}, journal::Moment(std::chrono::hours(500000)));
    });
    read_or_refuse([&] { journal.tools("bracket"); });
    read_or_refuse([&] { journal.prune_rule(); });
    for (const auto& name : journal::Journal::table_names())
      read_or_refuse([&] {
        const auto table = journal.table(name, std::nullopt);
        app::to_csv(table);
        app::dump(app::to_json(table), 2);
      });
  });
}

}  // namespace hushmill::fuzz
