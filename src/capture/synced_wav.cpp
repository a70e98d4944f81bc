#include "capture/synced_wav.hpp"

#include <cmath>
#include <vector>

#include "capture/errors.hpp"
#include "capture/sound_file.hpp"
#include "capture/source.hpp"
#include "platform/platform.hpp"

namespace hushmill::capture {

struct SyncedWav::Parts {
  std::filesystem::path path;
  SoundFile file;
  std::vector<float> clean;
  std::uint64_t samples = 0;

  [[noreturn]] void fail(const std::string& reason) const {
    throw OutsideFailed("recording " + in_quotes(path.string()) + ": cannot be written (" + reason +
                        "); a disk with space would be right");
  }
  bool true_header() const noexcept { return sf_command(file.get(), SFC_UPDATE_HEADER_NOW, nullptr, 0) == 0; }
};

SyncedWav::SyncedWav(const std::filesystem::path& file, double sample_rate_hz, const std::string& comment)
    : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.path = file;
  if (!(sample_rate_hz >= kLowestRateHz && sample_rate_hz <= kHighestRateHz) || sample_rate_hz != std::floor(sample_rate_hz)) {
    throw BadInput("recording " + in_quotes(file.string()) + ": sample rate " + std::to_string(sample_rate_hz) +
                   " Hz; a whole number from 16000 to 192000 Hz would be right");
  }
  std::error_code error;
  if (std::filesystem::exists(file, error)) p.fail("there is a file of that name");
  SF_INFO info{};
  info.samplerate = static_cast<int>(sample_rate_hz);
  info.channels = 1;
  info.format = SF_FORMAT_WAV | SF_FORMAT_FLOAT;
  if (!platform::make_own_file(file)) p.fail("it cannot be made for the user alone");
  p.file.reset(sf_open(file.string().c_str(), SFM_WRITE, &info));
  if (!p.file) p.fail(sf_strerror(nullptr));
  sf_command(p.file.get(), SFC_SET_ADD_PEAK_CHUNK, nullptr, SF_FALSE);  // it would need the whole sound
  if (!comment.empty()) sf_set_string(p.file.get(), SF_STR_COMMENT, comment.c_str());
  sync();
  platform::sync_to_disk(file.parent_path());
}

SyncedWav::~SyncedWav() = default;

void SyncedWav::write(std::span<const float> samples) {
  Parts& p = *parts_;
  if (!p.file) p.fail("it is closed");
  if (p.samples + samples.size() > most_samples()) p.fail("a WAV file holds no more than 4 GiB");
  p.clean.assign(samples.begin(), samples.end());
  for (float& sample : p.clean) {
    if (!std::isfinite(sample)) sample = 0;
  }
  const auto count = static_cast<sf_count_t>(samples.size());
  const auto written = sf_write_float(p.file.get(), p.clean.data(), count);
  if (written > 0) p.samples += static_cast<std::uint64_t>(written);
  if (written != count) {
    const std::string reason = sf_strerror(p.file.get());
    p.true_header();  // of what was taken
    p.fail(reason);
  }
}

void SyncedWav::sync() {
  Parts& p = *parts_;
  if (!p.file) return;
  platform::sync_to_disk(p.path);
  if (!p.true_header()) p.fail(sf_strerror(p.file.get()));
  platform::sync_to_disk(p.path);
}

void SyncedWav::close() {
  if (!parts_->file) return;
  sync();
  const int error = sf_close(parts_->file.release());
  if (error != 0) parts_->fail(sf_error_number(error));
  platform::sync_to_disk(parts_->path);
}

std::uint64_t SyncedWav::samples() const noexcept { return parts_->samples; }
const std::filesystem::path& SyncedWav::file() const noexcept { return parts_->path; }
std::uint64_t SyncedWav::most_samples() noexcept { return 0xfff00000U / sizeof(float); }

}  // namespace hushmill::capture
