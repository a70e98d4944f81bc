#include "app/report_command.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <fstream>
#include <memory>

#include "app/doors.hpp"
#include "app/inch_words.hpp"
#include "app/idle_options.hpp"
#include "app/keep_options.hpp"
#include "app/kept_trials.hpp"
#include "app/out_file.hpp"
#include "app/report_content.hpp"
#include "capture/errors.hpp"
#include "text/outside_text.hpp"
#include "capture/recording.hpp"
#include "journal/journal.hpp"
#include "journal/sha256.hpp"
#include "listen/good_sample.hpp"
#include "live/listened_channel.hpp"
#include "live/open_ends.hpp"
#include "report/writers.hpp"

namespace hushmill::app {

namespace {
struct ReportTexts {
  std::string file, out, session, paper = "a4", channel = "mix";
  bool inches = false;
  CutOptionTexts cut;
  TrialOptionTexts trials;
};

// Reads forward only, so that hours of sound need no memory: episodes come in order of time.
class SoundFile {
 public:
  SoundFile(std::filesystem::path file, capture::Channel channel, double begins_s) : file_(std::move(file)), channel_(channel), begins_s_(begins_s) {}

  SoundOrNot between(double from_s, double to_s) {
    try {
      const double rate = recording_ ? recording_->sample_rate_hz() : 0;
      if (!recording_ || static_cast<double>(at_) / rate + begins_s_ > from_s) {
        recording_ = std::make_unique<capture::Recording>(file_, channel_);
        at_ = 0;
      }
      return read(from_s, to_s);
    } catch (const std::exception& failure) {
      return {std::nullopt, failure.what()};
    }
  }

 private:
  SoundOrNot read(double from_s, double to_s) {
    const double rate = recording_->sample_rate_hz();
    const auto first = static_cast<std::int64_t>(std::max(0.0, from_s - begins_s_) * rate);
    const auto last = static_cast<std::int64_t>((to_s - begins_s_) * rate);
    report::EpisodeSound sound;
    sound.sample_rate_hz = rate;
    sound.from_s = begins_s_ + static_cast<double>(first) / rate;
    std::vector<float> piece(8192);
    while (at_ < last && !recording_->ended()) {
      const auto want = std::min<std::int64_t>(static_cast<std::int64_t>(piece.size()), at_ < first ? first - at_ : last - at_);
      const std::size_t got = recording_->read(std::span<float>(piece).first(static_cast<std::size_t>(want)));
      // What the engine took for silence is silent in the picture, too.
      std::replace_if(piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(got), [](float sample) { return !listen::is_good_sample(sample); }, 0.0F);
      if (at_ >= first) sound.samples.insert(sound.samples.end(), piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(got));
      at_ += static_cast<std::int64_t>(got);
    }
    if (sound.samples.empty()) return {std::nullopt, "The recording does not reach so far."};
    return {std::move(sound), ""};
  }

  std::filesystem::path file_;
  capture::Channel channel_;
  double begins_s_;
  std::unique_ptr<capture::Recording> recording_;
  std::int64_t at_ = 0;
};

report::Content of_session(const ReportTexts& texts) {
  journal::Journal journal(data_folder(texts.cut.data), journal::Journal::Open::must_be_there);
  auto record = journal.session(parse_whole("--session", texts.session, 1, 2147483647));
  live::find_open_ends(record, data_folder(texts.cut.data));
  if (texts.inches && !speaks_inches(record.session.settings)) record.session.settings += " --inches";
  struct Kept {
    const journal::RecordingRow* row;
    SoundFile file;
    bool checked = false, same = true;
  };
  std::vector<Kept> files;
  for (const auto& recording : record.recordings)
    files.push_back({&recording, SoundFile(journal.path_of(recording), recording.kind == "listened" ? live::listened_channel(record.session.settings) : capture::Channel::mix, recording.from_s)});
  return report_content(record, [&](double from_s, double to_s) -> SoundOrNot {
    std::string why = "No recording was kept of this moment, so there is no picture of it.";
    for (auto& kept : files) {
      if (kept.row->from_s > from_s + 1 || (kept.row->to_s && *kept.row->to_s < from_s + 0.5)) continue;
      if (!kept.checked && !kept.row->sha256.empty()) {
        const auto sum = journal::sha256_of(journal.path_of(*kept.row));
        kept.same = !sum || *sum == kept.row->sha256;
      }
      kept.checked = true;
      if (!kept.same) {
        why = "The recording " + kept.row->path + " is not the one that was kept (its SHA-256 differs), so no picture is made of it.";
        continue;
      }
      auto found = kept.file.between(from_s, to_s);
      if (found.sound) return found;
      why = found.why_not;
    }
    return {std::nullopt, why};
  });
}

report::Content of_file(const ReportTexts& texts) {
  auto cut = cut_options(texts.cut);
  take_kept_trials(texts.cut, cut);
  const auto channel = parse_channel(texts.channel);
  capture::Recording recording(texts.file, channel);
  const std::string name = std::filesystem::path(texts.file).filename().string();
  const auto trials = trial_options(texts.trials);
  tell_overlaps(trials.tags);
  const auto reviewed = review(recording, texts.file, cut, trials);
  if (const auto trouble = recording.trouble(); !trouble.empty()) std::fprintf(stderr, "hushmill: %s\n", text::plain_line(trouble).c_str());
  auto record = record_of(reviewed, cut, settings_text(texts.cut) + settings_text(texts.trials) + (texts.inches ? " --inches" : ""));
  record.session.source = name;
  journal::RecordingRow row;
  row.path = name;
  row.kind = "listened";
  row.sha256 = journal::sha256_of(texts.file).value_or("");
  row.sample_rate_hz = reviewed.sample_rate_hz;
  record.recordings.push_back(row);
  SoundFile file(texts.file, channel, 0);
  return report_content(record, [&](double from_s, double to_s) { return file.between(from_s, to_s); });
}

// Whole or not at all: a report half written over an older one would be worse than none.
void write_file(const std::filesystem::path& file, const std::string& bytes) {
  const auto failed = [&] { return capture::OutsideFailed("file " + capture::in_quotes(file.string()) + " cannot be written; a folder with space and write permission would be right"); };
  const auto beside = std::filesystem::path(file.string() + ".part");
  {
    std::ofstream out(beside, std::ios::binary);
    out << bytes;
    out.flush();
    if (!out) {
      std::error_code none;
      std::filesystem::remove(beside, none);
      throw failed();
    }
  }
  std::error_code error;
  std::filesystem::rename(beside, file, error);
  if (error) throw failed();
}

int make(const ReportTexts& texts) {
  const auto ending = check_out_file("--out", texts.out, {".html", ".pdf"});
  if (texts.paper != "a4" && texts.paper != "letter") throw UsageError("--paper is '" + texts.paper.substr(0, 60) + "'; a4 or letter would be right");
  if (!texts.file.empty() && !texts.session.empty())
    throw UsageError("a recording, '" + texts.file.substr(0, 200) + "', and --session are both given; one of them would be right");
  if (texts.file.empty() && texts.session.empty())
    throw UsageError("what to report is missing; either a recording or --session with its number would be right");
  const auto content = texts.session.empty() ? of_file(texts) : of_session(texts);
  write_file(texts.out, ending == ".html" ? report::to_html(content) : report::to_pdf(content, texts.paper == "a4" ? picture::Paper::a4 : picture::Paper::letter));
  std::printf("%s: %s\n", text::plain_line(texts.out).c_str(), content.verdict.c_str());
  return 0;
}
}  // namespace

void add_report(CLI::App& app, std::function<int()>& run) {
  auto texts = std::make_shared<ReportTexts>();
  auto* command = app.add_subcommand("report", "A session of the journal, or a recording, as one HTML file or a PDF");
  command->footer("Examples: hushmill report --session 12 --out first-article.pdf\n          hushmill report cut.flac --rpm 6000 --flutes 4 --out cut.html");
  command->add_option("file", texts->file, "A recording instead of a session; needs --rpm and --flutes")->type_name("FILE");
  command->add_option("--session", texts->session, "Session of the journal, by its number")->type_name("N");
  command->add_option("--out", texts->out, "File to write, .html or .pdf")->required()->type_name("FILE");
  command->add_option("--paper", texts->paper, "Paper of the PDF: a4 or letter")->type_name("SIZE")->capture_default_str();
  command->add_flag("--inches", texts->inches, "Lengths and feeds in inches, even if they were entered in millimetres");
  command->add_option("--channel", texts->channel, "Channel of a stereo file: left, right or mix")->type_name("WHICH")->capture_default_str();
  add_journal_folder(*command, texts->cut.data);
  add_cut_options(*command, texts->cut, CutNeeds::nothing, true);
  add_trial_options(*command, texts->trials);
  command->callback([texts, command, &run] {
    run = [texts, command] {
      if (texts->file.empty() && !texts->session.empty()) {
        refuse_idle_groups(*command, {kCutGroup, kMoreOfCutGroup, kTrialsGroup}, "a recording instead of a session");
        refuse_idle(*command, {"--channel"}, "a recording instead of a session");
      }
      if (!texts->file.empty() && texts->session.empty()) need_speed_and_flutes(texts->cut, "");
      return make(*texts);
    };
  });
}

}  // namespace hushmill::app
