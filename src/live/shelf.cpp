#include "live/shelf.hpp"

#include <algorithm>
#include <condition_variable>
#include <cstdlib>
#include <deque>
#include <functional>
#include <map>
#include <mutex>
#include <thread>
#include <tuple>

#include "capture/errors.hpp"
#include "journal/folders.hpp"
#include "journal/journal.hpp"
#include "live/card_question.hpp"
#include "live/cut_fields.hpp"
#include "live/earlier_trials.hpp"
#include "live/journal_rows.hpp"
#include "live/listened_channel.hpp"

namespace hushmill::live {
namespace {

constexpr std::size_t kMostSessions = 200;
constexpr double kJoinS = 0.01;  // pieces of one recording follow one another to the sample

std::string what_of(const journal::SessionRow& session) {
  std::string what;
  for (const auto& part :
       {session.job, session.setup.tool, session.setup.material, session.setup.machine, session.source})
    if (!part.empty()) what += (what.empty() ? "" : ", ") + part;
  return what;
}

bool all_there(const std::vector<std::filesystem::path>& files) {
  return std::all_of(files.begin(), files.end(), [](const auto& file) {
    std::error_code error;
    return std::filesystem::is_regular_file(file, error);
  });
}

double length_of(const journal::RecordingRow& row) { return row.to_s ? *row.to_s - row.from_s : 0; }

}  // namespace

std::vector<KeptSoundLine> sounds_of(const std::vector<journal::RecordingRow>& recordings,
                                     const std::filesystem::path& folder) {
  std::vector<const journal::RecordingRow*> rows;
  for (const auto& row : recordings) rows.push_back(&row);
  std::stable_sort(rows.begin(), rows.end(), [](const auto* a, const auto* b) { return a->from_s < b->from_s; });
  std::vector<KeptSoundLine> sounds;
  for (const auto* row : rows) {
    // Joined as a path: an absolute one stays itself.
    const auto file = folder / row->path;
    KeptSoundLine* before = nullptr;
    for (auto& sound : sounds)
      if (row->kind == "session" && sound.kind == "session" && sound.length_s > 0 &&
          std::abs(sound.from_s + sound.length_s - row->from_s) < kJoinS)
        before = &sound;
    if (before != nullptr) {
      before->files.push_back(file);
      before->length_s += length_of(*row);
    } else {
      sounds.push_back({row->kind, row->from_s, length_of(*row), {file}});
    }
  }
  sounds.erase(std::remove_if(sounds.begin(), sounds.end(), [](const auto& sound) { return !all_there(sound.files); }),
               sounds.end());
  return sounds;
}

ReplaySubject subject_of(const journal::SessionRecord& record, const std::filesystem::path& folder,
                         const std::optional<KeptSoundLine>& wanted) {
  const auto sounds = sounds_of(record.recordings, folder);
  const KeptSoundLine* sound = wanted ? &*wanted : nullptr;
  for (const auto& one : sounds)
    if (!wanted && (sound == nullptr || one.length_s > sound->length_s)) sound = &one;
  if (sound == nullptr)
    throw capture::BadInput("session " + std::to_string(record.session.id) +
                            " has no sound that is still there; one with a recording would be right");
  ReplaySubject subject;
  subject.title = "session " + std::to_string(record.session.id) + (sound->kind == "minute" ? ", a kept minute" : "");
  subject.files = sound->files;
  if (sound->kind == "listened") subject.channel = listened_channel(record.session.settings);
  if (sound->from_s > 0) subject.note = "Begins in the middle of its session: room and speed are learned anew";
  // At the same sample the events come first: a heard speed that was taken dates the trial of its card back.
  for (const auto& event : record.events) {
    // What was known when this sound began.
    if (event.t_s <= sound->from_s && event.kind == "tried_before") subject.tried = tried_from(event.text);
    if (event.t_s < sound->from_s && event.kind == "another_cut") subject.tried.clear();
    const double t_s = event.t_s - sound->from_s;
    if (t_s < 0) continue;
    if (event.kind == "lap_marked") subject.steps.push_back({t_s, MarkPass{}});
    if (event.kind == "place") subject.steps.push_back({t_s, TagPlace{trial::place_from(event.text)}});
    if (event.kind == "heard_taken") subject.steps.push_back({t_s, TakeHeard{}});
    if (event.kind == "tried_before") subject.steps.push_back({t_s, TakeTried(tried_from(event.text))});
    if (event.kind == "another_cut") subject.steps.push_back({t_s, AnotherCut{}});
    if (event.kind == "sound_lost") subject.steps.push_back({t_s, MissSound{std::strtod(event.text.c_str(), nullptr)}});
  }
  bool first = true;
  for (const auto& row : record.cards) {
    if (first || row.t_s <= sound->from_s)
      subject.card = card_from(row);
    else
      subject.steps.push_back({row.t_s - sound->from_s, ChangeCard{card_from(row)}});
    first = false;
  }
  take_taps(record.taps, subject.card);
  for (auto& step : subject.steps)
    if (auto* change = std::get_if<ChangeCard>(&step.command)) take_taps(record.taps, change->card);
  std::stable_sort(subject.steps.begin(), subject.steps.end(),
                   [](const auto& a, const auto& b) { return a.t_s < b.t_s; });
  // The dashboard at the machine asks for a marked pass; the terminal monitor, and a file that was reviewed, have nobody who marks.
  const bool marked = std::any_of(record.events.begin(), record.events.end(), [](const auto& event) { return event.kind == "lap_marked"; });
  const bool held = std::any_of(record.trials.begin(), record.trials.end(), [](const auto& trial) { return trial.outcome == "held"; });
  subject.rules.pass_needed = record.session.source_kind != "recording" && (marked || !held);
  return subject;
}

CutCard card_of(const setup::CutSheet& sheet) {
  CutCard card;
  copy_cut(sheet, card);
  card.knob_step_percent = sheet.knob_step_percent.value_or(card.knob_step_percent);
  return card;
}

setup::CutSheet sheet_of(const CutCard& card) {
  setup::CutSheet sheet;
  copy_cut(card, sheet);
  sheet.knob_step_percent = card.knob_step_percent;
  return sheet;
}

struct Shelf::Parts {
  explicit Parts(std::filesystem::path folder_in) : folder(std::move(folder_in)) {}

  void run();
  void ask(std::function<Answer()> errand) {
    const std::lock_guard guard(lock);
    errands.push_back(std::move(errand));
    bell.notify_one();
  }
  journal::Journal& opened() {
    if (folder.empty()) throw capture::BadInput("there is no journal");
    if (!journal) journal.emplace(folder, journal::Journal::Open::must_be_there);
    return *journal;
  }

  const std::filesystem::path folder;
  std::optional<journal::Journal> journal;  // the shelf thread's

  std::mutex lock;
  std::condition_variable bell;
  std::deque<std::function<Answer()>> errands;
  std::deque<Answer> answers;
  std::vector<std::unique_ptr<Replay>> old;
  bool closing = false;
  std::thread thread;
};

void Shelf::Parts::run() {
  while (true) {
    std::function<Answer()> errand;
    std::vector<std::unique_ptr<Replay>> ended;
    {
      std::unique_lock guard(lock);
      bell.wait(guard, [this] { return closing || !errands.empty() || !old.empty(); });
      if (closing) return;
      ended.swap(old);
      if (errands.empty()) continue;
      errand = std::move(errands.front());
      errands.pop_front();
    }
    Answer answer = Trouble{};
    try {
      answer = errand();
    } catch (const std::exception& failure) {
      answer = Trouble{failure.what()};
    }
    const std::lock_guard guard(lock);
    answers.push_back(std::move(answer));
  }
}

Shelf::Shelf(std::filesystem::path folder) : parts_(std::make_unique<Parts>(std::move(folder))) {
  parts_->thread = std::thread([parts = parts_.get()] { parts->run(); });
}

Shelf::~Shelf() {
  {
    const std::lock_guard guard(parts_->lock);
    parts_->closing = true;
    parts_->bell.notify_one();
  }
  parts_->thread.join();
}

void Shelf::ask_sessions(const std::string& words) {
  parts_->ask([parts = parts_.get(), words]() -> Answer {
    Sessions sessions{words, {}};
    std::map<std::int64_t, std::vector<journal::RecordingRow>> recordings;
    for (auto& row : parts->opened().recordings()) recordings[row.session_id].push_back(std::move(row));
    for (const auto& line : parts->opened().sessions(words, kMostSessions))
      sessions.list.push_back({line.session.id,
                               journal::local_text(line.session.started_utc, line.session.utc_offset_min),
                               line.session.heard_s, what_of(line.session), line.episodes,
                               sounds_of(recordings[line.session.id], parts->folder)});
    return sessions;
  });
}

void Shelf::open_session(std::int64_t number, const KeptSoundLine& sound) {
  parts_->ask([parts = parts_.get(), number, sound]() -> Answer {
    return Opened{std::make_unique<Replay>(subject_of(parts->opened().session(number), parts->folder, sound))};
  });
}

void Shelf::ask_tried(std::int64_t number, const CutCard& card) {
  parts_->ask([parts = parts_.get(), number, card]() -> Answer {
    auto earlier = earlier_trials(parts->opened().session(number), card);
    return Tried{number, std::move(earlier.trials), earlier.other_cut, earlier.depth_not_noted};
  });
}

void Shelf::open_file(const std::filesystem::path& file, const CutCard& card, std::vector<ReplayStep> steps,
                      std::vector<advise::Trial> tried, capture::Channel channel) {
  parts_->ask([file, card, steps = std::move(steps), tried = std::move(tried), channel]() -> Answer {
    ReplaySubject subject;
    subject.title = file.filename().string();
    subject.files = {file};
    subject.card = card;
    subject.steps = steps;
    subject.tried = tried;
    subject.channel = channel;
    return Opened{std::make_unique<Replay>(std::move(subject))};
  });
}

void Shelf::ask_tools(const std::string& job) {
  parts_->ask([parts = parts_.get(), job]() -> Answer {
    std::error_code error;
    if (parts->folder.empty() || job.empty() || !std::filesystem::exists(journal::journal_file(parts->folder), error)) return Tools{};
    return Tools{parts->opened().tools(job)};
  });
}

void Shelf::ask_cuts(const std::vector<std::filesystem::path>& folders) {
  parts_->ask([folders]() -> Answer {
    Cuts cuts;
    for (const auto& folder : folders) {
      std::error_code error;
      for (std::filesystem::directory_iterator file(folder, error), end; !error && file != end; file.increment(error)) {
        if (file->path().extension() != ".toml") continue;
        Cut cut{file->path(), {}, {}};
        try {
          cut.sheet = setup::load_cut_sheet(cut.file);
          check_card(card_of(cut.sheet));
        } catch (const std::exception& bad) {
          cut.trouble = bad.what();
        }
        cuts.list.push_back(std::move(cut));
      }
    }
    std::sort(cuts.list.begin(), cuts.list.end(), [](const Cut& a, const Cut& b) {
      const bool bad_a = !a.trouble.empty(), bad_b = !b.trouble.empty();
      return std::tie(bad_a, a.sheet.title, a.file) < std::tie(bad_b, b.sheet.title, b.file);
    });
    return cuts;
  });
}

void Shelf::write_cut(const setup::CutSheet& sheet, setup::LengthUnit unit, const std::filesystem::path& folder) {
  parts_->ask([sheet, unit, folder]() -> Answer {
    const auto file = folder / setup::file_name_for(sheet.title);
    journal::make_private_folder(folder.parent_path());
    journal::make_private_folder(folder);
    setup::save_cut_sheet(sheet, unit, file);
    journal::make_private_file(file);
    return Written{file};
  });
}

void Shelf::put_away(std::unique_ptr<Replay> replay) {
  const std::lock_guard guard(parts_->lock);
  parts_->old.push_back(std::move(replay));
  parts_->bell.notify_one();
}

bool Shelf::take(Answer& answer) {
  const std::lock_guard guard(parts_->lock);
  if (parts_->answers.empty()) return false;
  answer = std::move(parts_->answers.front());
  parts_->answers.pop_front();
  return true;
}

}  // namespace hushmill::live
