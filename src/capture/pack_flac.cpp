#include "capture/pack_flac.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "capture/errors.hpp"
#include "capture/sound_file.hpp"
#include "platform/platform.hpp"

namespace hushmill::capture {
namespace {

constexpr sf_count_t kStepFrames = 96000;
constexpr double kFullScale = 8388608.0;  // of 24 bits: a power of two, so that a converter's steps come back exactly
constexpr double kMost = kFullScale - 1;
constexpr int kBelow = 256;  // libsndfile wants the 24 bits at the top of an int

}  // namespace

struct PackFlac::Parts {
  std::filesystem::path wav, flac, unfinished;
  SoundFile from, to;
  std::vector<float> samples;
  std::vector<int> steps;
  sf_count_t frames = 0;

  ~Parts() {
    to.reset();
    std::error_code error;
    std::filesystem::remove(unfinished, error);  // gone already when all went well
  }
  [[noreturn]] void fail(const std::string& reason) const {
    throw OutsideFailed("recording " + in_quotes(flac.string()) + ": cannot be packed (" + reason +
                        "); it stays a WAV file");
  }
};

PackFlac::PackFlac(const std::filesystem::path& wav) : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.wav = wav;
  p.flac = std::filesystem::path(wav).replace_extension(".flac");
  p.unfinished = std::filesystem::path(wav).replace_extension(".unfinished.flac");
  SF_INFO info{};
  p.from.reset(sf_open(wav.string().c_str(), SFM_READ, &info));
  if (!p.from) throw BadInput("recording " + in_quotes(wav.string()) + ": " + sf_strerror(nullptr) + "; a WAV file would be right");
  p.frames = info.frames;
  const char* comment = sf_get_string(p.from.get(), SF_STR_COMMENT);
  SF_INFO packed{};
  packed.samplerate = info.samplerate;
  packed.channels = 1;
  packed.format = SF_FORMAT_FLAC | SF_FORMAT_PCM_24;
  if (!platform::make_own_file(p.unfinished)) p.fail("it cannot be made for the user alone");
  p.to.reset(sf_open(p.unfinished.string().c_str(), SFM_WRITE, &packed));
  if (!p.to) p.fail(sf_strerror(nullptr));
  if (comment != nullptr) sf_set_string(p.to.get(), SF_STR_COMMENT, comment);
  p.samples.resize(kStepFrames);
  p.steps.resize(kStepFrames);
}

PackFlac::~PackFlac() = default;

bool PackFlac::step() {
  Parts& p = *parts_;
  const sf_count_t got = sf_read_float(p.from.get(), p.samples.data(), kStepFrames);
  for (std::size_t i = 0; i < static_cast<std::size_t>(got); ++i) {
    const double value = std::clamp(std::round(static_cast<double>(p.samples[i]) * kFullScale), -kFullScale, kMost);
    p.steps[i] = static_cast<int>(value) * kBelow;
  }
  if (got > 0 && sf_write_int(p.to.get(), p.steps.data(), got) != got) p.fail(sf_strerror(p.to.get()));
  if (got == kStepFrames) return false;

  const int error = sf_close(p.to.release());
  if (error != 0) p.fail(sf_error_number(error));
  platform::sync_to_disk(p.unfinished);
  SF_INFO packed{};
  SoundFile check(sf_open(p.unfinished.string().c_str(), SFM_READ, &packed));
  if (!check || packed.frames != p.frames) p.fail("samples are missing in it");
  check.reset();  // not every system renames or removes what is open
  p.from.reset();
  std::error_code renamed;
  std::filesystem::rename(p.unfinished, p.flac, renamed);
  if (renamed) p.fail(renamed.message());
  platform::sync_to_disk(p.flac.parent_path());
  std::filesystem::remove(p.wav, renamed);
  return true;
}

const std::filesystem::path& PackFlac::flac() const noexcept { return parts_->flac; }

}  // namespace hushmill::capture
