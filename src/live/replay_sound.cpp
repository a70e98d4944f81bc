#include "live/replay_sound.hpp"

#include <algorithm>

#include "capture/errors.hpp"

namespace hushmill::live {

ReplaySound::ReplaySound(const std::vector<std::filesystem::path>& files, capture::Channel channel) {
  bool all_known = true;
  for (const auto& file : files) {
    pieces_.push_back(std::make_unique<capture::Recording>(file, channel));
    const double rate_hz = pieces_.back()->sample_rate_hz();
    if (pieces_.size() > 1 && rate_hz != rate_hz_)
      throw capture::BadInput("file " + capture::in_quotes(file.string()) + ": is of " +
                              std::to_string(static_cast<long long>(rate_hz)) + " Hz, the pieces before it of " +
                              std::to_string(static_cast<long long>(rate_hz_)) + " Hz; one rate would be right");
    rate_hz_ = rate_hz;
    const auto stated = pieces_.back()->stated_samples();
    all_known = all_known && stated.has_value();
    stated_ += stated.value_or(0);
  }
  if (pieces_.empty()) throw capture::BadInput("no recording was named; one would be right");
  if (!all_known) stated_ = 0;
}

std::string ReplaySound::name() const { return pieces_.front()->name(); }

bool ReplaySound::ended() const noexcept { return piece_ + 1 == pieces_.size() && pieces_[piece_]->ended(); }

std::size_t ReplaySound::read(std::span<float> samples) {
  if (at_ >= halt_at_) return 0;
  samples = samples.first(static_cast<std::size_t>(std::min<std::uint64_t>(samples.size(), halt_at_ - at_)));
  std::size_t done = 0;
  while (done < samples.size()) {
    const std::size_t got = pieces_[piece_]->read(samples.subspan(done));
    done += got;
    if (got > 0) continue;
    if (!pieces_[piece_]->ended()) break;
    if (trouble_.empty()) trouble_ = pieces_[piece_]->trouble();
    if (piece_ + 1 == pieces_.size()) break;
    ++piece_;
  }
  at_ += done;
  return done;
}

bool ReplaySound::seek(std::uint64_t sample) {
  std::uint64_t before = 0;
  for (std::size_t piece = 0; piece < pieces_.size(); ++piece) {
    const auto length = pieces_[piece]->stated_samples();
    const bool last = piece + 1 == pieces_.size();
    if (!last && length && sample >= before + *length) {
      before += *length;
      continue;
    }
    if (!pieces_[piece]->seek(sample - before)) return false;
    piece_ = piece;
    // A later piece that was read before begins anew.
    for (std::size_t later = piece + 1; later < pieces_.size(); ++later) pieces_[later]->seek(0);
    at_ = length ? std::min(sample, before + *length) : sample;
    return true;
  }
  return false;
}

}  // namespace hushmill::live
