#include "capture/recording.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdio>
#include <string_view>
#include <vector>

#include "capture/errors.hpp"
#include "text/outside_text.hpp"
#include "capture/sides.hpp"
#include "capture/sound_file.hpp"
#include "capture/wav_header.hpp"

namespace hushmill::capture {
namespace {

constexpr std::size_t kBlockFrames = 4096;
constexpr std::string_view kRightKinds = "a WAV, FLAC, OGG or AIFF recording would be right";

[[noreturn]] void refuse(const std::filesystem::path& file, std::string_view found, std::string_view right) {
  throw BadInput("file " + in_quotes(file.string()) + " " + std::string(found) + "; " + std::string(right));
}

/// Only plain files: a pipe would block the open, a device never ends.
void check_plain_file(const std::filesystem::path& file) {
  std::error_code error;
  const auto status = std::filesystem::status(file, error);
  switch (status.type()) {
    case std::filesystem::file_type::regular:
      break;
    case std::filesystem::file_type::not_found:
      throw BadInput("file " + in_quotes(file.string()) + ": no such file; " + std::string(kRightKinds));
    case std::filesystem::file_type::directory:
      refuse(file, "is a folder", kRightKinds);
    case std::filesystem::file_type::none:
      refuse(file, "cannot be looked at (" + error.message() + ")", "a file that may be read would be right");
    default:
      refuse(file, "is not a plain file", kRightKinds);
  }
  const auto bytes = std::filesystem::file_size(file, error);
  if (!error && bytes == 0) refuse(file, "is empty", kRightKinds);
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> probe(std::fopen(file.string().c_str(), "rb"), &std::fclose);
  if (!probe) refuse(file, "may not be read", "a file with read permission would be right");
}

bool is_listened_kind(int format) {
  constexpr std::array kinds = {SF_FORMAT_WAV,  SF_FORMAT_WAVEX, SF_FORMAT_RF64, SF_FORMAT_W64,
                                SF_FORMAT_AIFF, SF_FORMAT_FLAC,  SF_FORMAT_OGG};
  return std::find(kinds.begin(), kinds.end(), format & SF_FORMAT_TYPEMASK) != kinds.end();
}

/// The library corrects a WAV or AIFF header that promises more than the file holds, and says so only in its log, as
/// "data : 192000 (should be 95978)". Programs that write into a pipe leave a huge number there: no promise, no lie.
bool header_promised_more(SNDFILE* file) {
  constexpr double kNoPromise = 0x7fff0000;
  std::array<char, 8192> buffer{};
  sf_command(file, SFC_GET_LOG_INFO, buffer.data(), static_cast<int>(buffer.size()) - 1);
  std::string_view log(buffer.data());
  while (!log.empty()) {
    auto line = log.substr(0, log.find('\n'));
    log.remove_prefix(std::min(log.size(), line.size() + 1));
    line.remove_prefix(std::min(line.size(), line.find_first_not_of(' ')));
    const auto key = line.substr(0, line.find(' '));
    const auto colon = line.find(" : ");
    if (colon == std::string_view::npos || (key != "data" && key != "RIFF" && key != "FORM" && key != "SSND")) continue;
    constexpr std::string_view kShould = "(should be ";
    const auto should = line.find(kShould);
    if (should == std::string_view::npos) continue;
    unsigned long long promised = 0;
    unsigned long long held = 0;
    std::from_chars(line.data() + colon + 3, line.data() + line.size(), promised);
    std::from_chars(line.data() + should + kShould.size(), line.data() + line.size(), held);
    if (promised > held && static_cast<double>(promised) < kNoPromise) return true;
  }
  return false;
}

std::string seconds_text(std::uint64_t samples, double rate_hz) {
  std::array<char, 40> text{};
  std::snprintf(text.data(), text.size(), "%.2f s", static_cast<double>(samples) / rate_hz);
  return text.data();
}

}  // namespace

struct Recording::Parts {
  std::filesystem::path path;
  Channel channel = Channel::mix;
  double lowest_rate_hz = kLowestRateHz;
  SF_INFO info{};
  SoundFile file;
  std::optional<Sides> sides;
  std::vector<float> block;       // interleaved, as read
  std::size_t block_samples = 0;  // interleaved samples in the block
  std::size_t block_at = 0;
  std::uint64_t decoded_frames = 0;
  std::uint64_t handed_out = 0;
  bool cut_short = false;
  std::uint64_t hidden_bytes = 0;  // behind what the header states
  bool at_end = false;
  std::string trouble;

  void open();
  void fill();
  void note_end();
};

void Recording::Parts::open() {
  check_plain_file(path);
  if (const auto entry = endless_entry(path)) {
    refuse(path, "is damaged: its list of remarks claims nearly 4 GiB at byte " + std::to_string(*entry),
           "a recording with a true header would be right");
  }
  file.reset(sf_open(path.string().c_str(), SFM_READ, &info));
  if (!file) {
    const std::string reason = sf_strerror(nullptr);
    refuse(path, "is not sound that can be read (" + reason.substr(0, reason.find_last_not_of(". \n") + 1) + ")",
           kRightKinds);
  }
  if (!is_listened_kind(info.format)) {
    SF_FORMAT_INFO kind{};
    kind.format = info.format & SF_FORMAT_TYPEMASK;
    const bool named = sf_command(nullptr, SFC_GET_FORMAT_INFO, &kind, sizeof(kind)) == 0 && kind.name != nullptr;
    refuse(path, "is of kind " + std::string(named ? kind.name : "unknown"), kRightKinds);
  }
  if (info.channels < 1 || info.channels > 2) {
    refuse(path, "has " + std::to_string(info.channels) + " channels", "1 or 2 would be right");
  }
  const double rate_hz = info.samplerate;
  if (rate_hz < lowest_rate_hz || rate_hz > kHighestRateHz) {
    refuse(path, "has a sample rate of " + std::to_string(info.samplerate) + " Hz",
           std::to_string(static_cast<int>(lowest_rate_hz)) + " to 192000 Hz would be right");
  }
  cut_short = header_promised_more(file.get());
  hidden_bytes = bytes_behind_the_sound(path);
  sides.emplace(rate_hz, info.channels, channel);
  block.resize(kBlockFrames * static_cast<std::size_t>(info.channels));
  // The first block is read at once: a header alone is no sound, and must not pass for a quiet cut.
  fill();
  if (block_samples == 0) {
    refuse(path, trouble.empty() ? "holds no sound" : "holds no sound that can be read", kRightKinds);
  }
}

void Recording::Parts::fill() {
  block_at = 0;
  const auto frames = sf_readf_float(file.get(), block.data(), static_cast<sf_count_t>(kBlockFrames));
  block_samples = static_cast<std::size_t>(std::max<sf_count_t>(frames, 0)) * static_cast<std::size_t>(info.channels);
  sides->process(std::span<const float>(block).first(block_samples));
  decoded_frames += static_cast<std::uint64_t>(std::max<sf_count_t>(frames, 0));
  if (block_samples == 0) note_end();
}

void Recording::Parts::note_end() {
  at_end = true;
  const bool stated = info.frames != SF_COUNT_MAX;
  const bool fewer = stated && decoded_frames < static_cast<std::uint64_t>(info.frames);
  std::string why;
  if (sf_error(file.get()) != SF_ERR_NO_ERROR) {
    why = "it is damaged there";
  } else if (cut_short || fewer || !stated) {
    why = "its end is missing";
  }
  if (why.empty() && hidden_bytes > 0) {
    trouble = "file " + in_quotes(path.string()) + ": its header states " + seconds_text(decoded_frames, info.samplerate) + ", but " +
              std::to_string(hidden_bytes) + " bytes more stand behind that and were not read; a header with the true length would be right";
    return;
  }
  if (why.empty()) return;
  trouble = "file " + in_quotes(path.string()) + ": breaks off after " + seconds_text(decoded_frames, info.samplerate) +
            ", " + why + "; a whole recording would be right";
}

Recording::Recording(const std::filesystem::path& file, Channel channel, double lowest_rate_hz) : parts_(std::make_unique<Parts>()) {
  parts_->path = file;
  parts_->lowest_rate_hz = lowest_rate_hz;
  parts_->channel = channel;
  parts_->open();
}

Recording::~Recording() = default;

double Recording::sample_rate_hz() const noexcept { return parts_->info.samplerate; }
std::string Recording::name() const { return text::plain_line(parts_->path.filename().string()); }
bool Recording::ended() const noexcept { return parts_->at_end; }
std::string Recording::trouble() const { return parts_->trouble; }
SidesFault Recording::sides_fault() const noexcept { return parts_->sides->fault(); }
int Recording::channels() const noexcept { return parts_->info.channels; }
std::uint64_t Recording::samples_read() const noexcept { return parts_->handed_out; }

std::optional<std::uint64_t> Recording::stated_samples() const noexcept {
  if (parts_->info.frames == SF_COUNT_MAX) return std::nullopt;
  return static_cast<std::uint64_t>(parts_->info.frames);
}

std::string Recording::comment() const {
  const char* text = sf_get_string(parts_->file.get(), SF_STR_COMMENT);
  return text != nullptr ? text : "";
}

bool Recording::seek(std::uint64_t sample) {
  Parts& p = *parts_;
  if (p.info.seekable == 0) return false;
  if (const auto all = stated_samples()) sample = std::min(sample, *all);
  const auto at = sf_seek(p.file.get(), static_cast<sf_count_t>(sample), SEEK_SET);
  if (at < 0) return false;
  p.decoded_frames = p.handed_out = static_cast<std::uint64_t>(at);
  p.at_end = false;
  p.fill();
  return true;
}

std::size_t Recording::read(std::span<float> samples) {
  Parts& p = *parts_;
  std::size_t done = 0;
  while (done < samples.size() && !p.at_end) {
    const auto left = std::span<const float>(p.block).subspan(p.block_at, p.block_samples - p.block_at);
    const std::size_t frames = pick_channel(left, p.info.channels, p.channel, samples.subspan(done));
    done += frames;
    p.block_at += frames * static_cast<std::size_t>(p.info.channels);
    if (p.block_at >= p.block_samples) p.fill();
  }
  p.handed_out += done;
  return done;
}

}  // namespace hushmill::capture
