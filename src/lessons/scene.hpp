// What a lesson shows at one moment. Plain values: copied across threads, never shared.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "listen/verdict.hpp"

namespace hushmill::lessons {

enum class Name { forks, wavy_wall, lobes, lower_or_higher, corner };
inline constexpr std::array kNames{Name::forks, Name::wavy_wall, Name::lobes, Name::lower_or_higher, Name::corner};

/// "forks", "wavy-wall", "lobes", "lower-or-higher", "corner".
std::string_view word(Name name) noexcept;
/// "Two forks" and so on.
std::string_view title(Name name) noexcept;
/// The lesson of that word; none when there is no such lesson.
std::optional<Name> name_of(std::string_view word) noexcept;

/// Something to turn. With choices, the value is the place in their list.
struct Control {
  std::string name, unit;
  double value = 0, from = 0, to = 1, step = 1;
  int decimals = 0;
  std::vector<std::string> choices = {};
};

/// A question, answered by trying.
struct Task {
  std::string question;
  bool solved = false;
  std::string found;  ///< how things stand; once solved, what the simulation or the engine found, in its own figures
};

/// What the real engine says of the sound of this moment.
struct Heard {
  listen::Verdict verdict = listen::Verdict::no_cut;
  std::optional<double> chatter_hz;
  int episodes = 0;      ///< chatters since the beginning
  double quiet_s = 0;    ///< of cut without chatter since something was turned and has settled
  double chatter_s = 0;  ///< of chatter since then
  double tooth_passing_hz = 0;
  double level_dbfs = -200;
  /// The tool's own vibration, where the lesson knows it and `chatter_hz` is not its line but one so many tooth
  /// multiples from it (negative: less; 0: none of its family, as when the engine still names a line of before).
  std::optional<double> motion_hz = {};
  int multiples_off = 0;
};

// The pictures, one a lesson.

/// Two tones, as a tracker hears them: nothing but sound goes in.
struct HeardTones {
  double first_hz = 0;              ///< the lower one
  std::optional<double> second_hz;  ///< none where one tone explains the sound as well
  double window_s = 0;              ///< of sound that was looked at
  bool unclear = false;  ///< neither one steady tone nor two explain the sound; the figures then mean nothing
  double beat_hz() const noexcept { return second_hz ? *second_hz - first_hz : 0; }
};

struct ForksPicture {
  double first_hz = 0, second_hz = 0;  ///< of each fork alone
  double exchange_hz = 0;              ///< how often a second the swing goes over and comes back, by the formula
  double most_answer = 0;              ///< share of the energy that the second can get, by the formula
  std::vector<float> first_swing, second_swing;  ///< envelopes of the last seconds, 1: as struck
  double swing_s = 0;                            ///< so long they go back
  std::optional<HeardTones> tones;
  std::vector<float> loudness;  ///< of the sound over the same time, share of full scale: beats are seen here
  bool microphone = false;      ///< real sound: nothing is known of the forks but what is heard
  double answer = 0;            ///< the most that the second has had since the strike, share of the energy
};

/// What the wall does, as measured on the tip's path and the chip; never foreseen.
enum class Wave {
  no_cut,  ///< the tool is out of the cut
  even,    ///< nothing runs on from tooth to tooth, and the push of the teeth moves the tip little
  forced,  ///< the wall is wavy, but each tooth repeats the last one's wave
  grows,
  dies,
  holds,    ///< neither
  bounded,  ///< has grown until the tooth leaves the cut in each swing
};

struct WallPicture {
  Wave wave = Wave::even;
  double from_teeth = -1, to_teeth = 0.4;   ///< the stretch that is shown, in tooth passes; 0 is where the tooth is now
  std::vector<float> left_um;               ///< the surface that the tooth before left, over that stretch
  std::vector<float> path_um;               ///< the path of this tooth, up to where it is
  double feed_um = 0;                       ///< the chip of a tooth where nothing vibrates
  double chip_um = 0;                       ///< at the tooth now
  double thinnest_um = 0, thickest_um = 0;  ///< of the last pass
  double waves_per_tooth = 0;
  bool measured = false;  ///< those waves run on in the wall; otherwise the tip would make so many by its own note
  double wave_hz = 0, tooth_hz = 0;
  int flutes = 1;
  double depth_mm = 0, own_note_hz = 0;
  double phase_deg = 0;         ///< of this wave against the last, 0 to 360
  double swing_um = 0;          ///< of the vibration, over the last pass
  double growth_per_tooth = 1;  ///< factor from the pass before to this one
  double limit_mm = 0;          ///< depth limit at this speed, by the formula
};

enum class Outcome { open, quiet, chatters };

struct ChartPoint {
  double spindle_rpm = 0, depth_mm = 0;
  Outcome heard = Outcome::open;
};

struct LobesPicture {
  double rpm_from = 0, rpm_to = 0, depth_to_mm = 0;
  std::vector<ChartPoint> limit;  ///< the boundary, slowest first
  std::vector<ChartPoint> marks;
  ChartPoint here;
  double limit_here_mm = 0;
};

struct KnobStep {
  double percent = 0, spindle_rpm = 0;
  Outcome heard = Outcome::open;
};
struct KnobPicture {
  std::vector<KnobStep> steps;  ///< what was tried with this cut as it stands
  double percent = 100;
  std::string cut, stand;  ///< "Side wall", "stick-out 60 mm"
  double stickout_mm = 0;
};

struct CornerPicture {
  std::vector<float> arc_deg;  ///< of the engaged arc along one lap, evenly spaced
  double lap_share = 0;        ///< where the tool is, 0 to 1
  int laps_done = 0;
  double arc_now_deg = 0;
  bool even = false;  ///< constant engagement
  struct Spot {
    int lap = 0;
    double from_share = 0, to_share = 0;
  };
  std::vector<Spot> chatter;  ///< where the engine heard it, newest last
  std::vector<int> per_lap;   ///< chatters in each whole lap
};

using Picture = std::variant<ForksPicture, WallPicture, LobesPicture, KnobPicture, CornerPicture>;

struct Scene {
  Name name = Name::forks;
  double t_s = 0;
  std::vector<Control> controls;
  std::vector<std::string> deeds;  ///< what can be done beside turning: "Strike the first fork"
  std::vector<Task> tasks;
  std::vector<std::string> words;  ///< what is going on, in plain sentences with its own figures
  bool advises = false;            ///< a cure is spoken of: the cautions belong beside it
  std::optional<Heard> heard;      ///< none where nothing is cut
  Picture picture;
};

}  // namespace hushmill::lessons
