// The labelled corpus: which files it has, and what the engine, an oracle and a published statistic make of each of
// them.
//
// Every second file is from the milling simulator, the others from the additive generator; every second pair has
// chatter that starts mid-file. Files are made when they are listened to and not kept.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "bench/true_tone.hpp"
#include "listen/findings.hpp"
#include "support/additive_shop.hpp"

namespace hushmill::bench {

/// What a file is, or is taken for.
enum class Sounds { hopf, period_doubling, forced, steady, foreign_tone, no_cut };
inline constexpr int kSounds = 6;
const char* word(Sounds sounds) noexcept;

struct CorpusFile {
  std::uint64_t seed = 0;
  bool additive = false;
  bool chatter = false;
  bool even_slot = false;   ///< 4 or 6 equal flutes in a full slot
  bool low_radial = false;  ///< a sliver, where chatter may double its period; simulated only
  test::Nuisance nuisance = test::Nuisance::none;
  double over_room_db = 0;  ///< the cut over the room
  double duration_s = 0;

  std::string name() const;  ///< "simulated 20017", "additive 20018 with pump"
  std::string kind() const;  ///< for the table of false alarms
};

/// File number `id` of the corpus whose seeds start at `first_seed`.
CorpusFile corpus_file(int id, std::uint64_t first_seed);

/// What came of one file.
struct Trial {
  CorpusFile file{};
  TrueTone tone{};
  double onset_s = -1, unstable_from_s = 0, true_rpm = 0, entered_rpm = 0;
  int flutes = 0;
  bool chatter = false;  ///< it truly comes to chatter
  bool unclear = false;  ///< was to chatter and stayed below the mark: neither one nor the other, not counted
  Sounds truth = Sounds::steady, said = Sounds::steady;

  std::optional<listen::Episode> right{};  ///< the first episode that began when there was chatter
  int false_alarms = 0;                    ///< episodes without chatter
  std::optional<listen::Episode> first_false{};
  int pieces = 0;  ///< episodes while the chatter went on
  std::optional<double> oracle_s{};
  double variance_ratio = 0;
  std::optional<double> speed_error;  ///< median over the cut where five harmonics are clear, a ratio

  bool audible() const noexcept { return chatter && tone.hz > 0 && tone.over_rest_db >= 6; }
  bool found() const noexcept { return right.has_value(); }
  double delay_s() const { return right->alert_s - onset_s; }
  double frequency_error_hz() const;  ///< from the nearest place of the family
  bool dominant_named() const;        ///< within 0.5 % of the strongest line
};

/// Makes the file, listens to it and judges. Keeps what was got wrong when asked (kept_sounds.hpp).
Trial try_file(const CorpusFile& file);

}  // namespace hushmill::bench
