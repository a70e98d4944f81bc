// Does what is new in the sound form a chatter family, |±f_c + k·f_tooth|?
//
// Every new line that is not in step with the teeth votes: for a family if it stands on one of its places, against it if it
// does not, each by the logarithm of how much likelier that is under chatter than by chance. Speech, music and pumps bring
// lines all over; chatter brings them in one family. A lone line votes nothing: neither way; unless it stands exactly half way between
// two tooth multiples, as period doubling does and other tones hardly ever do. Family structure of milling
// chatter: Insperger, Stépán, Bayly, Mann, J. Sound Vib. 262 (2003).
#pragma once

#include <span>
#include <vector>

#include "listen/comb.hpp"

namespace hushmill::listen {

/// A line that was not there before, off the teeth.
struct NewLine {
  double hz = 0;
  double power = 0;     ///< a full-scale sine is 1
  double over_db = 0;   ///< over the background
  bool half_order_only = false;  ///< on a rotation multiple: can only be chatter of the period-doubling kind
};

/// One candidate family of one row.
struct FamilyVote {
  double offset_hz = 0;     ///< place in the tooth spacing, 0 to half of it
  double strongest_hz = 0;
  double strongest_power = 0;
  double power = 0;         ///< of all members
  double share = 0;         ///< members' part of all new line power
  int members = 0;          ///< lines found, the strongest included
  int own_members = 0;      ///< of them, those that are no harmonics of one tone, the strongest included
  double evidence = 0;      ///< nats for (positive) or against a family; 0 for a lone line among nothing else
  double evidence_if_loud = 0;  ///< the same of a tone that outdoes the teeth: saturated chatter has strong harmonics
  bool period_doubling = false;
  double ambiguous_nats = 0;  ///< of a series of harmonics that stands on the same places, at a simple fraction of the spacing
  double place_nats = 0;    ///< part of the evidence: of a lone line exactly half way between two tooth multiples
  bool rich = false;        ///< strong harmonics, as a voice or an instrument has them; chatter's are weak
};

struct FamilySettings {
  double member_given_chatter = 0.75;  ///< chance that a new line is in the family when there is chatter
  double full_weight_db = 16;          ///< a line this far over the background has a full vote
  double weak_below_strongest_db = 50; ///< lines further below the strongest have a third of a vote
  double combination_below_db = 10;    ///< lines of 2 f_c and 3 f_c are at least this far below the founder
  double rich_below_db = 9;            ///< a harmonic less far than this below the founder is strong
  double most_for = 8;                 ///< nats
  double most_against = 6;             ///< nats
  double most_of_place = 1.5;          ///< nats
  std::size_t most_founders = 12;
};

/// Votes on every family that a strong new line may found; strongest evidence first. `lines` strongest first.
void weigh_families(std::span<const NewLine> lines, const Comb& comb, double bin_hz, const FamilySettings& settings,
                    std::vector<FamilyVote>& votes);

}  // namespace hushmill::listen
