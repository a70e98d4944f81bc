#include "listen/tracker.hpp"

#include <algorithm>
#include <cmath>

#include "signal/decibel.hpp"

namespace hushmill::listen {

namespace {
constexpr std::size_t kMostTracks = 8;
constexpr int kGrowthRows = 6;
constexpr int kAbruptRows = 3;
constexpr int kRiseRows = 2;
constexpr double kAbruptDbS = 350;
constexpr double kSameLine = 0.03;
constexpr double kFreeGlide = 0.1;          // per second
constexpr double kMostRichDominance = 1.0;  // of a lone tone with strong harmonics
constexpr double kFellFromDb = 6;           // what teeth may lose for other reasons
constexpr double kFellPerNatDb = 2.5;
constexpr double kPureFellFromDb = 2;    // of a lone tone without strong harmonics …
constexpr double kPureFellMostDb = 12;
constexpr double kPureFellWeight = 1.5;  // … a fall counts as that many decibels more of the tone
constexpr double kPureOverTeethDb = 7;   // … that outdoes the teeth by so much: teeth that left their place are no louder than before
constexpr double kPureShare = 0.7;       // … and is nearly all that is new
constexpr double kPlacedNats = 1;        // a lone line with so much to say for its place is as good as a family
constexpr int kOwnMembers = 3;              // that make a family of what could be one tone with its harmonics
constexpr double kMostAmbiguous = 8;  // a voice does not stay at a half or a third of the tooth spacing, chatter does: wait and see
constexpr int kAmbiguousRows = 100;
constexpr double kMostRise = 5.0;       // of the teeth while a tone comes up: a corner
constexpr double kLoud = 2.0;           // times the power of the teeth
constexpr double kMostDominance = 5.0;  // nats a frame: a tone 30 dB louder than the teeth needs no family

// A family may at first be far below the teeth: at −10 dB dominance speaks neither way. A lone tone has nothing else to
// show for itself: it must outdo the teeth.
double dominance_nats(const FamilyVote& vote, const ToothPower& teeth, bool lone) noexcept {
  const double db = signal::power_db(vote.power / std::max(teeth.held, 1e-14));
  // A voice or a pump leaves the teeth alone; chatter takes their power.
  const double fell_db = signal::power_db(teeth.held / std::max(teeth.now, 1e-14));
  const double most_rich = std::clamp(kMostRichDominance + (fell_db - kFellFromDb) / kFellPerNatDb, kMostRichDominance, kMostDominance);
  if (!lone) return std::clamp((db + 10.0) / 8.0, -2.5, kMostDominance);
  const bool took_over = !vote.rich && db > kPureOverTeethDb && vote.share > kPureShare;
  const double taken_db = took_over ? kPureFellWeight * std::clamp(fell_db - kPureFellFromDb, 0.0, kPureFellMostDb) : 0.0;
  return std::clamp((db + taken_db - 4.0) / 6.0, -2.5, vote.rich ? most_rich : kMostDominance);
}

// Growth of 60 dB/s and more speaks for chatter, a fall against it.
double growth_nats(double growth_db_s) noexcept { return std::clamp(growth_db_s / 60.0, -1.5, 1.2); }

// Chatter moves by a percent or two while it grows; a voice moves by that much from one row to the next.
double glide_nats(double glide_per_s) noexcept { return std::clamp((glide_per_s - kFreeGlide) / 0.08, 0.0, 4.0); }

double ambiguous_nats(double nats, int rows) noexcept {
  return std::min(nats, kMostAmbiguous) * std::max(0.0, 1.0 - static_cast<double>(rows) / kAmbiguousRows);
}
}  // namespace

double Track::teeth_beside(double held) const noexcept {
  return teeth_before > 0 ? std::min(held, kMostRise * teeth_before) : held;
}

Tracker::Tracker(const TrackerSettings& settings, double row_s, double new_share)
    : settings_(settings), row_s_(row_s), new_share_(new_share) {
  tracks_.reserve(kMostTracks + 16);
}

void Tracker::process(std::span<const FamilyVote> votes, const Comb& comb, double bin_hz, const ToothPower& teeth,
                      double restrain, double now_s) {
  for (auto& track : tracks_) ++track.missing_rows;
  const double weight = std::min(1.0, 1.6 * new_share_);

  for (const auto& vote : votes) {
    const double tolerance = 1.3 * bin_hz + comb.relative_uncertainty * vote.strongest_hz;
    Track* track = nullptr;
    for (auto& candidate : tracks_)
      if (candidate.missing_rows > 0 && std::abs(candidate.offset_hz - vote.offset_hz) < tolerance &&
          (track == nullptr || candidate.nats > track->nats))
        track = &candidate;
    if (track == nullptr) {
      if (tracks_.size() >= kMostTracks) continue;
      tracks_.push_back({});
      track = &tracks_.back();
      track->start_s = now_s;
      track->teeth_before = teeth.settled;
      track->power_db.fill(signal::power_db(vote.power));
      track->offset_hz = vote.offset_hz;
    }
    track->missing_rows = 0;
    track->offset_hz += 0.5 * (vote.offset_hz - track->offset_hz);
    track->strongest_hz = vote.strongest_hz;
    track->strongest_power = vote.strongest_power;
    track->power = vote.power;
    track->share = vote.share;
    track->members = vote.members;
    track->most_members = std::max(track->most_members, vote.members);
    track->period_doubling = vote.period_doubling;
    const double db = signal::power_db(vote.power);
    const std::size_t size = track->power_db.size();
    track->power_db[static_cast<std::size_t>(track->rows) % size] = db;
    const int back = std::min(track->rows, kGrowthRows);
    const double before = track->power_db[static_cast<std::size_t>(track->rows - back) % size];
    track->growth_db_s = back > 0 ? (db - before) / (back * row_s_) : 0.0;
    track->rise_db = track->rows >= kRiseRows ? db - track->power_db[static_cast<std::size_t>(track->rows - kRiseRows) % size] : 0.0;
    if (back >= kAbruptRows && track->growth_db_s > kAbruptDbS) track->abrupt = true;
    if (back == kGrowthRows) track->most_growth_db_s = std::max(track->most_growth_db_s, track->growth_db_s);
    // Only of one and the same line: another member may have become the strongest.
    track->hz[static_cast<std::size_t>(track->rows) % size] = vote.strongest_hz;
    const double moved =
        back > 0 ? vote.strongest_hz / track->hz[static_cast<std::size_t>(track->rows - back) % size] - 1.0 : 0.0;
    if (std::abs(moved) < kSameLine) track->glide_per_s = back > 0 ? std::abs(moved) / (back * row_s_) : 0.0;
    ++track->rows;

    // The sum last stood at zero where the change began (Page's estimate of it).
    if (track->nats <= 0) track->start_s = now_s;
    track->most_own_members = std::max(track->most_own_members, vote.own_members);
    const bool lone = (vote.members == 1 && vote.place_nats < kPlacedNats) || (vote.rich && track->most_own_members < kOwnMembers);
    ToothPower known = teeth;
    known.held = track->teeth_beside(teeth.held);
    const double evidence = comb.trusted && vote.power > kLoud * known.held ? vote.evidence_if_loud : vote.evidence;
    const double gain = evidence + dominance_nats(vote, known, lone) +
                        growth_nats(track->growth_db_s) - glide_nats(track->glide_per_s) -
                        ambiguous_nats(vote.ambiguous_nats, track->rows) - settings_.toll_nats - restrain;
    track->nats = std::clamp(track->nats + weight * gain, 0.0, settings_.most_nats);
    track->peak_nats = std::max(track->peak_nats, track->nats);
  }
  for (auto& track : tracks_)
    if (track.missing_rows > 0) track.nats = std::max(0.0, track.nats - weight * settings_.toll_nats);
  std::erase_if(tracks_, [&](const Track& track) { return track.missing_rows > settings_.lost_after_rows; });
}

const Track* Tracker::best() const noexcept {
  const Track* best = nullptr;
  for (const auto& track : tracks_)
    if (best == nullptr || track.nats > best->nats || (track.nats == best->nats && track.power > best->power))
      best = &track;
  return best;
}

}  // namespace hushmill::listen
