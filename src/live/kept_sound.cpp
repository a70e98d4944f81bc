#include "live/kept_sound.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

#include "capture/errors.hpp"
#include "journal/folders.hpp"
#include "journal/utc.hpp"

namespace hushmill::live {
namespace {

constexpr std::chrono::milliseconds kSyncEvery{400};  // twice, and a slow disk, still fit into a second
constexpr std::chrono::seconds kLookAtSpaceEvery{5};
constexpr std::int64_t kMostSilence = 1 << 16;  // written at a time
constexpr double kOneHoleS = 1;  // what is less apart is one hole: a disk that is always late makes hundreds a second
constexpr std::size_t kToldHoles = 32;
constexpr double kGib = 1024.0 * 1024.0 * 1024.0;

std::string megabytes(std::int64_t bytes) {
  std::ostringstream text;
  text.precision(1);
  text << std::fixed << static_cast<double>(bytes) / 1e6 << " MB";
  return text.str();
}

}  // namespace

KeptSound::KeptSound(const KeepingSettings& settings)
    : settings_(settings), rate_hz_(settings.sample_rate_hz), holding_(settings.minute) {
  minute_.resize(static_cast<std::size_t>(kMinuteS * rate_hz_));
  if (!settings_.listened.empty()) {
    std::error_code error;
    const auto whole = std::filesystem::absolute(settings_.listened, error);
    files_.push_back({.path = error ? settings_.listened : whole, .kind = "listened", .started = std::chrono::system_clock::now()});
    unfinished_.push_back({0, nullptr, std::make_unique<journal::FileSha256>(files_.front().path)});
  }
  if (settings_.record) record(true);
}

KeptSound::~KeptSound() = default;

void KeptSound::hear(std::int64_t first, std::span<const float> samples) {
  if (first > next_) tell_hole(next_, first);
  while (first > next_) {
    const std::vector<float> silence(static_cast<std::size_t>(std::min(first - next_, kMostSilence)), 0.0f);
    missing_ += static_cast<std::int64_t>(silence.size());
    holes_.emplace_back(next_, static_cast<std::int64_t>(silence.size()));
    append(silence, true);
  }
  append(samples, false);
  while (!holes_.empty() && holes_.front().first + holes_.front().second < next_ - static_cast<std::int64_t>(held_)) holes_.pop_front();
}

void KeptSound::tell_hole(std::int64_t from, std::int64_t until) {
  const double from_s = static_cast<double>(from) / rate_hz_, until_s = static_cast<double>(until) / rate_hz_;
  if (!told_holes_.empty() && from_s - told_holes_.back().until_s < kOneHoleS) {
    told_holes_.back().until_s = until_s;
    told_holes_.back().lost_s += until_s - from_s;
    return;
  }
  told_holes_.push_back({from_s, until_s, until_s - from_s});
  if (told_holes_.size() > kToldHoles) told_holes_.pop_front();
}

void KeptSound::append(std::span<const float> samples, bool missing) {
  if (holding_) {
    for (const float sample : samples) {
      minute_[minute_at_] = sample;
      minute_at_ = minute_at_ + 1 == minute_.size() ? 0 : minute_at_ + 1;
    }
    held_ = std::min(minute_.size(), held_ + samples.size());
  }
  write(samples, missing);
  next_ += static_cast<std::int64_t>(samples.size());
}

void KeptSound::write(std::span<const float> samples, bool missing) {
  if (!wav_) return;
  const double piece_s = settings_.sound_file == SoundFile::flac ? settings_.flac_piece_s : settings_.wav_piece_s;
  const auto most = std::min(static_cast<std::uint64_t>(piece_s * rate_hz_), capture::SyncedWav::most_samples());
  std::int64_t at = next_;
  try {
    while (!samples.empty() && wav_) {
      const auto fits = std::min<std::uint64_t>(samples.size(), most - wav_->samples());
      wav_->write(samples.first(static_cast<std::size_t>(fits)));
      KeptFile& file = files_[wav_file_];
      file.to_sample += static_cast<std::int64_t>(fits);
      if (missing) file.missing_samples += static_cast<std::int64_t>(fits);
      recorded_ += static_cast<std::int64_t>(fits);
      samples = samples.subspan(static_cast<std::size_t>(fits));
      if (wav_->samples() >= most) {
        close_piece();
        open_piece(at + static_cast<std::int64_t>(fits));
      }
      at += static_cast<std::int64_t>(fits);
    }
  } catch (const std::exception& failure) {
    fail(failure.what());
  }
}

std::size_t KeptSound::begin_file(const std::string& kind, std::int64_t from_sample) {
  journal::make_private_folder(settings_.folder);
  journal::make_private_folder(settings_.folder / journal::kRecordings);
  const auto now = std::chrono::system_clock::now();
  const std::string name = journal::utc_for_a_name(now) + "-" + kind;
  std::filesystem::path path;
  std::error_code error;
  for (int number = 1; path.empty() || std::filesystem::exists(settings_.folder / path, error) ||
                       std::filesystem::exists(settings_.folder / std::filesystem::path(path).replace_extension(".flac"), error);
       ++number) {
    path = std::filesystem::path(journal::kRecordings) / (name + (number > 1 ? "-" + std::to_string(number) : "") + ".wav");
  }
  KeptFile file{.path = path, .kind = kind, .started = now, .from_sample = from_sample, .to_sample = from_sample};
  files_.push_back(file);
  return files_.size() - 1;
}

void KeptSound::open_piece(std::int64_t from_sample) {
  const std::size_t file = begin_file("session", from_sample);
  try {
    wav_ = std::make_unique<capture::SyncedWav>(settings_.folder / files_[file].path, rate_hz_, settings_.source);
  } catch (...) {
    files_.pop_back();
    throw;
  }
  wav_file_ = file;
  ++pieces_;
}

void KeptSound::close_piece() {
  const auto wav = std::move(wav_);
  wav->close();
  finish_file(wav_file_, settings_.sound_file == SoundFile::flac);
}

void KeptSound::finish_file(std::size_t file, bool pack) {
  files_[file].changed = true;
  Unfinished job{file, nullptr, nullptr};
  if (pack) {
    job.pack = std::make_unique<capture::PackFlac>(settings_.folder / files_[file].path);
  } else {
    job.hash = std::make_unique<journal::FileSha256>(settings_.folder / files_[file].path);
  }
  unfinished_.push_back(std::move(job));
}

void KeptSound::fail(const std::string& why) {
  trouble_ = why;
  if (wav_) files_[wav_file_].changed = true;
  wav_.reset();
}

bool KeptSound::disk_is_full() {
  std::error_code error;
  const auto space = std::filesystem::space(settings_.folder, error);
  if (error || static_cast<double>(space.available) >= settings_.least_free_gib * kGib) return false;
  std::ostringstream text;
  text << "the disk of '" << settings_.folder.string() << "' has only " << megabytes(static_cast<std::int64_t>(space.available))
       << " left, less than the " << megabytes(static_cast<std::int64_t>(settings_.least_free_gib * kGib))
       << " that stay free; nothing is recorded, listening goes on";
  fail(text.str());
  return true;
}

void KeptSound::hold_minute(bool on) {
  holding_ = on;
  if (!on) {
    std::fill(minute_.begin(), minute_.end(), 0.0f);  // gone means gone
    held_ = minute_at_ = 0;
  }
  news_ = on ? "The last minute is held in memory." : "The last minute is not held any more.";
}

void KeptSound::keep_minute() {
  if (held_ == 0) {
    news_ = holding_ ? "There is no sound yet to keep." : "The last minute is not held: there is nothing to keep.";
    return;
  }
  const auto from = next_ - static_cast<std::int64_t>(held_);
  std::optional<std::size_t> begun;
  try {
    const std::size_t file = begin_file("minute", from);
    begun = file;
    capture::SyncedWav wav(settings_.folder / files_[file].path, rate_hz_, settings_.source);
    const std::size_t begin = held_ < minute_.size() ? 0 : minute_at_;
    const std::size_t first = std::min(held_, minute_.size() - begin);
    wav.write(std::span<const float>(minute_).subspan(begin, first));
    wav.write(std::span<const float>(minute_).first(held_ - first));
    wav.close();
    files_[file].to_sample = next_;
    for (const auto& [at, count] : holes_) files_[file].missing_samples += std::min(count, at + count - from);
    finish_file(file, settings_.sound_file == SoundFile::flac);
    std::ostringstream text;
    text.precision(0);
    text << std::fixed << "Kept the last " << minute_s() << " s";
    // Without the journal nothing else will ever name the file.
    text << (settings_.journal ? "." : ", in no list: " + files_[file].path.filename().string());
    news_ = text.str();
    trouble_.clear();
  } catch (const std::exception& failure) {
    trouble_ = failure.what();
    if (begun) {  // half a minute is worth keeping, an empty file is not
      std::error_code error;
      const auto bytes = std::filesystem::file_size(settings_.folder / files_[*begun].path, error);
      if (error || bytes < 1000) {
        std::filesystem::remove(settings_.folder / files_[*begun].path, error);
        files_[*begun].gone = true;
      }
      files_[*begun].to_sample = next_;
      files_[*begun].changed = true;
    }
  }
}

void KeptSound::record(bool on) {
  if (on == recording() || (on && !settings_.listened.empty())) return;
  try {
    if (on) {
      trouble_.clear();
      journal::make_private_folder(settings_.folder);
      if (!disk_is_full()) open_piece(next_);
      if (wav_) news_ = settings_.journal ? "Recording the session." : "Recording the session, in no list: " + files_.back().path.filename().string();
    } else {
      close_piece();
      news_ = "Recording ended.";
    }
  } catch (const std::exception& failure) {
    fail(failure.what());
  }
}

void KeptSound::drop() {
  wav_.reset();
  unfinished_.erase(std::remove_if(unfinished_.begin(), unfinished_.end(),
                                   [&](const Unfinished& job) { return files_[job.file].kind != "listened"; }),
                    unfinished_.end());
  int deleted = 0;
  for (KeptFile& file : files_) {
    if (file.gone || file.kind == "listened") continue;
    std::error_code error;
    std::filesystem::remove(settings_.folder / file.path, error);
    if (error) {
      trouble_ = "recording '" + file.path.string() + "' cannot be deleted: " + error.message();
      continue;
    }
    file.gone = file.changed = true;
    ++deleted;
  }
  std::fill(minute_.begin(), minute_.end(), 0.0f);
  held_ = minute_at_ = 0;
  recorded_ = 0;
  news_ = deleted == 0 ? "The minute was emptied; there was no recording of this session."
                       : "Deleted " + std::to_string(deleted) + (deleted == 1 ? " recording" : " recordings") +
                             " of this session and emptied the minute.";
}

void KeptSound::sync(Clock::time_point now) {
  if (!wav_) return;
  if (now - space_looked_ >= kLookAtSpaceEvery) {
    space_looked_ = now;
    if (disk_is_full()) return;
  }
  if (now - synced_ < kSyncEvery) return;
  synced_ = now;
  try {
    wav_->sync();
  } catch (const std::exception& failure) {
    fail(failure.what());
  }
}

bool KeptSound::work() {
  if (unfinished_.empty()) return false;
  Unfinished& job = unfinished_.front();
  KeptFile& file = files_[job.file];
  try {
    if (job.pack) {
      if (!job.pack->step()) return true;
      file.path.replace_extension(".flac");
      job.pack.reset();
    }
  } catch (const std::exception& failure) {
    trouble_ = failure.what();  // the WAV is still there
    job.pack.reset();
  }
  const auto path = settings_.folder / file.path;  // an absolute one stays itself
  if (!job.hash) job.hash = std::make_unique<journal::FileSha256>(path);
  if (!job.hash->step()) return true;
  file.sha256 = job.hash->result().value_or("");
  std::error_code error;
  const auto bytes = std::filesystem::file_size(path, error);
  file.bytes = error ? 0 : static_cast<std::int64_t>(bytes);
  file.changed = true;
  unfinished_.pop_front();
  return !unfinished_.empty();
}

void KeptSound::finish() {
  record(false);
  while (work()) {
  }
}

}  // namespace hushmill::live
