#include "live/kept_story.hpp"

#include <type_traits>

#include "journal/errors.hpp"
#include "live/journal_rows.hpp"

namespace hushmill::live {
namespace {

constexpr std::size_t kMostWaiting = 4096;
constexpr std::chrono::seconds kTryAgainAfter{5};
constexpr std::size_t kMostTold = 1024;  // trials that are remembered, so that what did not change is not written again

}  // namespace

KeptStory::KeptStory(const KeepingSettings& settings)
    : settings_(settings), journal_(settings.folder), started_(std::chrono::system_clock::now()) {
  prune();
}

void KeptStory::begin_session() {
  journal::SessionRow session;
  session.started_utc = journal::utc_text(started_);
  session.utc_offset_min = journal::utc_offset_min(started_);
  session.source_kind = settings_.source_kind;
  session.source = settings_.source;
  session.sample_rate_hz = settings_.sample_rate_hz;
  session.program_version = settings_.program_version;
  session.settings = settings_.settings;
  session.job = settings_.job;
  session.setup = {settings_.machine, settings_.tool, settings_.hold, settings_.material, settings_.card.depth_mm,
                   settings_.card.radial_mm};
  const auto begun = journal_.begin_session(session);
  journal_.add(begun, card_row(0, settings_.card));
  if (settings_.card.tap_count > 0) journal_.put_taps(begun, tap_rows(settings_.card, session.started_utc));
  session_ = begun;
}

void KeptStory::prune() {
  const auto rule = journal_.prune_rule();
  std::size_t gone = 0;
  for (const auto& recording : journal_.prunable(rule, std::chrono::system_clock::now())) {
    journal_.delete_recording(recording);
    ++gone;
  }
  if (gone > 0) news_ = "Pruned " + std::to_string(gone) + (gone == 1 ? " recording" : " recordings") + " by the rule that was set.";
}

void KeptStory::note(std::shared_ptr<const Kept> kept) {
  // While the disk does not take it, only the newest progress waits: an hour of it must not push events out.
  if (std::holds_alternative<KeptProgress>(*kept))
    kept_notes_ += std::erase_if(waiting_, [](const auto& one) { return std::holds_alternative<KeptProgress>(*one); });
  if (waiting_.size() >= kMostWaiting) {
    waiting_.pop_front();
    ++dropped_;
  }
  waiting_.push_back(std::move(kept));
}

void KeptStory::write(std::vector<KeptFile>& files, Clock::time_point now) {
  bool changed = !waiting_.empty();
  for (const KeptFile& file : files) changed = changed || file.changed;
  if (!changed || now < next_try_) return;
  try {
    if (session_ == 0) begin_session();
    std::uint64_t events = 0;
    journal_.together([&] {
      for (const auto& kept : waiting_) {
        put(*kept);
        if (std::holds_alternative<KeptEvent>(*kept)) ++events;
      }
      for (KeptFile& file : files) {
        if (file.changed) put(file);
      }
    });
    // Only now they count as kept.
    kept_events_ += events;
    kept_notes_ += waiting_.size();
    waiting_.clear();
    for (KeptFile& file : files) file.changed = false;
    trouble_.clear();
  } catch (const journal::JournalFailed& failure) {
    for (KeptFile& file : files) {
      if (file.row < 0) file.row = 0;
    }
    trials_.clear();  // what was written of them is not in the journal
    trouble_ = failure.what();
    next_try_ = now + kTryAgainAfter;
  }
  for (KeptFile& file : files) {
    if (file.row < 0) file.row = -file.row;
  }
}

void KeptStory::put(const Kept& kept) {
  std::visit(
      [&](const auto& one) {
        using One = std::decay_t<decltype(one)>;
        if constexpr (std::is_same_v<One, KeptEvent> || std::is_same_v<One, KeptEnd> || std::is_same_v<One, KeptAdvice> || std::is_same_v<One, KeptTrials> ||
                      std::is_same_v<One, KeptProgress>) {
          put(one);
        } else if constexpr (std::is_same_v<One, KeptCard>) {
          journal_.add(session_, card_row(one.t_s, one.card));
          if (!same_taps(one.card, cards_.empty() ? settings_.card : cards_.back().card))
            journal_.put_taps(session_, tap_rows(one.card, journal::utc_text(std::chrono::system_clock::now())));
          cards_.push_back(one);
        } else if constexpr (std::is_same_v<One, KeepNote>) {
          journal_.add(session_, journal::NoteRow{one.t_s, journal::utc_text(std::chrono::system_clock::now()), one.text});
        } else if constexpr (std::is_same_v<One, KeptLoss>) {
          journal_.add(session_, journal::EventRow{one.t_s, journal::utc_text(std::chrono::system_clock::now()), "sound_lost", {},
                                                   {}, std::to_string(one.lost_s) + " s"});
        } else if constexpr (std::is_same_v<One, KeptMark>) {
          journal_.add(session_, journal::EventRow{one.t_s, journal::utc_text(std::chrono::system_clock::now()), one.kind, {}, {}, one.text});
        }
      },
      kept);
}

const CutCard& KeptStory::card_at(double t_s) const {
  const CutCard* found = &settings_.card;
  for (const KeptCard& card : cards_)
    if (card.t_s <= t_s + 1e-3) found = &card.card;
  return *found;
}

void KeptStory::put(const KeptEvent& kept) {
  const listen::Event& event = kept.event;
  journal::EventRow row;
  row.t_s = event.t_s;
  row.utc = journal::utc_text(kept.when);
  row.kind = listen::word(event.kind);
  // A tooth multiple counts from 1 by itself; cuts, episodes and tones are numbered from 1 for people.
  if (event.index >= 0) row.number = event.kind == listen::EventKind::forced_vibration ? event.index : event.index + 1;
  row.hz = kept.hz;
  journal_.add(session_, row);
  if (kept.episode) {
    auto episode = episode_row(event.index + 1, *kept.episode);
    episode.entered_rpm = kept.entered_rpm;
    episode.measured_rpm = kept.measured_rpm;
    journal_.put(session_, episode);
  }
  if (kept.cut) {
    const bool over = event.kind == listen::EventKind::cut_ends;
    journal_.put(session_, journal::CutRow{event.index + 1, kept.cut->start_s, over ? std::optional(kept.cut->end_s) : std::nullopt});
  }
}

void KeptStory::put(const KeptAdvice& kept) {
  journal_.put_advice(session_, kept.episode_number, advice_rows(kept.episode_number, kept.t_s, kept.advice));
}

void KeptStory::put(const KeptTrials& kept) {
  for (const TrialKept& trial : kept.trials) {
    const auto known = trials_.find(trial.number);
    if (known != trials_.end() && known->second == trial) continue;
    journal_.put(session_, trial_row(trial, card_at(trial.from_s)));
    trials_[trial.number] = trial;
  }
  while (trials_.size() > kMostTold) trials_.erase(trials_.begin());
  if (kept.speeds) journal_.put_speeds(session_, speed_rows(*kept.speeds));
}

void KeptStory::put(const KeptProgress& kept) {
  journal_.note_heard(session_, kept.heard_s);
  put(kept.trials);
  if (!kept.episode_number) return;
  auto row = episode_row(*kept.episode_number, kept.episode);
  row.entered_rpm = kept.entered_rpm;
  row.measured_rpm = kept.measured_rpm;
  journal_.put(session_, row);
}

void KeptStory::put(const KeptEnd& kept) {
  const listen::Findings& findings = kept.findings;
  for (std::size_t i = 0; i < findings.cuts.size(); ++i) {
    journal_.put(session_, journal::CutRow{static_cast<std::int64_t>(i) + 1, findings.cuts[i].start_s, findings.cuts[i].end_s});
  }
  for (std::size_t i = 0; i < findings.episodes.size(); ++i) {
    journal_.put(session_, episode_row(static_cast<std::int64_t>(i) + 1, findings.episodes[i], findings));
  }
  for (const listen::Warning warning : findings.warnings) {
    journal_.add(session_, journal::EventRow{kept.heard_s, journal::utc_text(std::chrono::system_clock::now()), "warning", {}, {},
                                             std::string(listen::word(warning))});
  }
  journal_.end_session(session_, journal::utc_text(std::chrono::system_clock::now()), kept.heard_s);
}

void KeptStory::put(KeptFile& file) {
  if (file.gone) {
    if (file.row != 0) journal_.forget_recording(file.row);
    return;
  }
  journal::RecordingRow row;
  row.id = file.row;
  row.path = file.path.generic_string();
  row.kind = file.kind;
  row.sha256 = file.sha256;
  row.from_s = static_cast<double>(file.from_sample) / settings_.sample_rate_hz;
  if (file.to_sample > file.from_sample) row.to_s = static_cast<double>(file.to_sample) / settings_.sample_rate_hz;
  row.sample_rate_hz = settings_.sample_rate_hz;
  if (file.bytes > 0) row.bytes = file.bytes;
  row.missing_samples = file.missing_samples;
  row.started_utc = journal::utc_text(file.started);
  if (file.row == 0) {
    file.row = -journal_.add(session_, row);  // negative until it is committed, see write()
  } else {
    journal_.update(row);
  }
}

}  // namespace hushmill::live
