#include "capture/recording_writer.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "capture/errors.hpp"
#include "capture/sound_file.hpp"
#include "capture/source.hpp"
#include "text/file_ending.hpp"

namespace hushmill::capture {
namespace {

std::string number_text(double value) {
  std::string text = std::to_string(value);
  if (text.find('.') != std::string::npos) text.erase(text.find_last_not_of('0') + 1);
  if (!text.empty() && text.back() == '.') text.pop_back();
  return text;
}

[[noreturn]] void refuse_to_write(const std::filesystem::path& file, const std::string& found,
                                  const std::string& right) {
  throw BadInput("file " + in_quotes(file.string()) + ": " + found + "; " + right);
}

[[noreturn]] void fail(const std::filesystem::path& file, const std::string& reason) {
  throw OutsideFailed("file " + in_quotes(file.string()) + ": cannot be written (" + reason +
                      "); a folder with space and write permission would be right");
}

int file_kind(const std::filesystem::path& file, SampleDepth depth) {
  const std::string ending = text::file_ending(file);
  const bool wav = ending == ".wav";
  if (!wav && ending != ".flac")
    refuse_to_write(file, "its name does not end in a kind that is written", ".wav or .flac would be right");
  if (!wav && depth == SampleDepth::bits32)
    refuse_to_write(file, "FLAC holds no 32-bit samples", "24 bits or .wav would be right");
  const int kind = wav ? SF_FORMAT_WAV : SF_FORMAT_FLAC;
  switch (depth) {
    case SampleDepth::bits16:
      return kind | SF_FORMAT_PCM_16;
    case SampleDepth::bits24:
      return kind | SF_FORMAT_PCM_24;
    case SampleDepth::bits32:
      return kind | SF_FORMAT_FLOAT;
  }
  return kind | SF_FORMAT_PCM_24;
}

/// Largest sound that a WAV header can count (32-bit sizes), with room for the header itself.
std::uint64_t most_frames(int format, int channels) {
  if ((format & SF_FORMAT_TYPEMASK) != SF_FORMAT_WAV) return UINT64_MAX;
  constexpr std::uint64_t kMostBytes = 0xffff0000;
  const std::uint64_t bytes = (format & SF_FORMAT_SUBMASK) == SF_FORMAT_PCM_16   ? 2
                              : (format & SF_FORMAT_SUBMASK) == SF_FORMAT_PCM_24 ? 3
                                                                                 : 4;
  return kMostBytes / (bytes * static_cast<std::uint64_t>(channels));
}

}  // namespace

struct RecordingWriter::Parts {
  std::filesystem::path path;
  SF_INFO info{};
  SoundFile file;
  std::vector<float> clean;
  std::uint64_t frames = 0;
  std::uint64_t clipped = 0;
  std::uint64_t bad = 0;
};

RecordingWriter::RecordingWriter(const std::filesystem::path& file, const RecordingFormat& format)
    : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.path = file;
  if (!(format.sample_rate_hz >= kLowestRateHz && format.sample_rate_hz <= kHighestRateHz) ||
      format.sample_rate_hz != std::floor(format.sample_rate_hz)) {
    refuse_to_write(file, "sample rate " + number_text(format.sample_rate_hz) + " Hz",
                    "a whole number from 16000 to 192000 Hz would be right");
  }
  if (format.channels < 1 || format.channels > 2) {
    refuse_to_write(file, std::to_string(format.channels) + " channels", "1 or 2 would be right");
  }
  p.info.samplerate = static_cast<int>(format.sample_rate_hz);
  p.info.channels = format.channels;
  p.info.format = file_kind(file, format.depth);
  p.file.reset(sf_open(file.string().c_str(), SFM_WRITE, &p.info));
  if (!p.file) fail(file, sf_strerror(nullptr));
  if (!format.comment.empty()) sf_set_string(p.file.get(), SF_STR_COMMENT, format.comment.c_str());
}

RecordingWriter::~RecordingWriter() = default;

void RecordingWriter::write(std::span<const float> interleaved) {
  Parts& p = *parts_;
  const auto channels = static_cast<std::size_t>(p.info.channels);
  if (!p.file) fail(p.path, "it is closed");
  const auto frames = interleaved.size() / channels;
  if (p.frames + frames > most_frames(p.info.format, p.info.channels)) {
    throw OutsideFailed("file " + in_quotes(p.path.string()) +
                        ": a WAV file holds no more than 4 GiB; .flac would be right");
  }
  const bool whole_numbers = (p.info.format & SF_FORMAT_SUBMASK) != SF_FORMAT_FLOAT;
  p.clean.assign(interleaved.begin(), interleaved.begin() + static_cast<std::ptrdiff_t>(frames * channels));
  for (float& sample : p.clean) {
    if (!std::isfinite(sample)) {
      sample = 0;
      ++p.bad;
    } else if (whole_numbers && std::abs(sample) > 1.0f) {
      sample = std::copysign(1.0f, sample);
      ++p.clipped;
    }
  }
  const auto written = sf_writef_float(p.file.get(), p.clean.data(), static_cast<sf_count_t>(frames));
  if (written != static_cast<sf_count_t>(frames)) fail(p.path, sf_strerror(p.file.get()));
  p.frames += frames;
}

void RecordingWriter::close() {
  if (!parts_->file) return;
  const int error = sf_close(parts_->file.release());
  if (error != 0) fail(parts_->path, sf_error_number(error));
}

std::uint64_t RecordingWriter::frames_written() const noexcept { return parts_->frames; }
std::uint64_t RecordingWriter::clipped_samples() const noexcept { return parts_->clipped; }
std::uint64_t RecordingWriter::bad_samples() const noexcept { return parts_->bad; }

}  // namespace hushmill::capture
