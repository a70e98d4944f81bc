// Which way to turn the speed: the question and the answer, as plain values.
//
// The likelihoods come from some hundreds of guessed cuts, all made to chatter as heard; they are no promise. The
// answer takes up to half a second of one core: keep the earlier one on the screen until it is ready.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace hushmill::advise {

enum class Milling { climb, conventional };
enum class Outcome { held, chattered, returned };
enum class Direction { lower, higher };

/// An earlier trial of the same set-up.
struct Trial {
  double spindle_rpm = 0;
  Outcome outcome = Outcome::chattered;
  std::optional<double> chatter_hz;
  bool operator==(const Trial&) const = default;
};

/// A mode found by tapping.
struct Tap {
  double hz = 0;
  bool of_part = false;  ///< tapped on the part in its hold; else on the tool
};

/// What is known of the cut. A limit that is not given does not apply.
struct Question {
  double chatter_hz = 0;
  double spindle_rpm = 0;  ///< at which it chattered; the measured one is better than the entered one
  int flutes = 0;
  double programmed_rpm = 0;          ///< the S word; override percent refers to it; 0: the same as spindle_rpm
  std::optional<double> feed_mm_min;  ///< at the programmed speed (F word)
  std::optional<double> diameter_mm;
  std::optional<double> radial_mm;
  std::optional<double> depth_mm;
  std::optional<Milling> milling;
  std::optional<double> min_rpm;
  std::optional<double> max_rpm;
  std::optional<double> tool_max_rpm;
  std::optional<double> holder_max_rpm;
  std::optional<double> min_surface_m_min;  ///< tool maker's range for the material; needs the diameter
  std::optional<double> max_surface_m_min;
  std::optional<double> spindle_kw;        ///< what the spindle gives; needs width, depth, feed and the next
  std::optional<double> cutting_n_mm2;     ///< specific cutting force of the material
  double knob_step_percent = 10;        ///< common practice, no published source
  std::optional<double> damping_ratio;  ///< from a tap test; else a stated default
  std::optional<double> growth_per_s;   ///< growth rate of the amplitude while the chatter rose
  std::vector<Trial> tried;
  std::vector<Tap> taps;
  std::vector<double> machine_taps_hz;  ///< tapped on the machine: only told when they are near, the models are of tool and part
  std::optional<double> knob_min_percent;  ///< reach of the knob; searched from 50 to 150 % when not given (common
  std::optional<double> knob_max_percent;  ///< practice, no published source)
  bool unequal_pitch = false;              ///< the lobes below do not hold then; said, not hidden
  std::optional<Direction> leaning;        ///< named first for this speed before: kept where both are nearly as good
};

/// A speed to try.
struct Candidate {
  double spindle_rpm = 0;
  double override_percent = 0;        ///< exact, of the programmed speed
  double knob_percent = 0;            ///< nearest step of the knob
  std::optional<double> feed_mm_min;  ///< keeps the chip load
  int lobe = 0;                       ///< whole waves per tooth, 1 upward
  double plain_spindle_rpm = 0;       ///< 60·f_c/(N·k), for comparison
  double knob_rpm = 0;                ///< speed at that knob step
  bool knob_leaves_pocket = false;    ///< the step lies outside the pocket, the limits or the knob's range, or is the
                                      ///< present speed: type the S word instead
  std::optional<double> knob_likelihood;  ///< that the cut is quiet at knob_rpm; none when it was not computed
  double chip_load_ratio = 1;  ///< chip load over the programmed one when only the override is turned (feed in mm/min)
  std::optional<double> surface_m_min;  ///< surface speed, when the diameter is known
  double depth_gain = 1;                ///< depth limit there over the lowest one, by one-mode lobes
  std::optional<double> likelihood;     ///< 0 to 1 that the cut is quiet there; none when it was not computed
  double width_from_rpm = 0;            ///< expected pocket, lower edge
  double width_to_rpm = 0;              ///< expected pocket, upper edge
  int on_harmonic = 0;  ///< tooth harmonic, 1 to 3, that meets a tapped mode there, so that it may run loud; 0: none
};

/// Speeds that were not considered, and what forbids them.
struct Barred {
  double spindle_rpm = 0;  ///< where the pocket would be
  std::string by;          ///< the limit, in words
};

/// Something to change beside the speed, strongest first.
enum class Area { hold, tool, program };
struct Remedy {
  Area area = Area::program;
  std::string text;            ///< one plain sentence with its expected effect
  std::optional<double> gain;  ///< what it is worth, as the factor by which the depth limit should rise
};

struct Advice {
  std::optional<Candidate> lower;
  std::optional<Candidate> higher;
  std::optional<Direction> prefer;
  std::string reason;  ///< one plain sentence

  std::optional<Candidate> knob;      ///< the best that the knob alone reaches; its spindle_rpm is a whole step
  std::vector<Candidate> candidates;  ///< every pocket inside the limits worth a look, likeliest first
  std::vector<Barred> barred;
  bool speed_may_not_do = false;       ///< speed alone will probably not cure it: see remedies
  std::optional<double> depth_factor;  ///< this part of the depth would likely be quiet at the best speed
  std::vector<Remedy> remedies;        ///< strongest first; filled when speed may not do, and when it is the weaker cure
  std::optional<bool> part_sings;      ///< by the taps: the part in its hold (true) or the tool (false); none: neither
  std::string taps_say;                ///< whose note this is by the taps, one sentence; empty without taps
  std::vector<std::string> notes;      ///< what weakens this advice, plainly
  std::vector<std::string> cautions;   ///< to be shown wherever the advice is shown

  double natural_hz = 0;      ///< of one mode behind the chatter, by phase and damping
  double natural_low_hz = 0;  ///< about one standard deviation each way
  double natural_high_hz = 0;
};

/// So many of the first cautions go with every advice; those after them belong to this one.
inline constexpr std::size_t kCommonCautions = 3;
/// Those alone, for an advice that names no speed.
std::vector<std::string> common_cautions();

/// "climb", "conventional"; "held", "chattered", "returned"; "lower", "higher".
std::string_view word(Milling milling) noexcept;
std::string_view word(Outcome outcome) noexcept;
std::string_view word(Direction direction) noexcept;
/// "hold", "tool", "program".
std::string_view word(Area area) noexcept;
/// "likely" from 0.6, "worth a try" from 0.3, else "unlikely": the figures are not finer than that.
std::string_view likelihood_word(double likelihood) noexcept;

/// Pure and deterministic. Throws std::invalid_argument naming the field when the question makes no sense.
Advice advise(const Question& question);

}  // namespace hushmill::advise
