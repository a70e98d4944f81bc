// All that a report says, as plain values: words ready to be read, numbers ready to be drawn. Whoever fills it decides what is
// said; whoever writes it only lays it out. Every text may come from outside and hold anything.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace hushmill::report {

/// A stretch of the timeline.
struct Stretch {
  double from_s = 0, to_s = 0;
};
struct ChatterStretch {
  double from_s = 0, to_s = 0, hz = 0;
};
struct SpeedMark {
  double at_s = 0, rpm = 0;
};

struct Timeline {
  double to_s = 0;
  std::vector<Stretch> cuts;
  std::vector<ChatterStretch> chatter;
  std::vector<SpeedMark> speeds;
};

/// The sound of one episode, for its pictures.
struct EpisodeSound {
  std::vector<float> samples;  ///< mono, full scale 1
  double sample_rate_hz = 0;
  double from_s = 0;   ///< time of the first sample
  double alert_s = 0;  ///< when chatter was heard
  double chatter_hz = 0;
  double tooth_hz = 0;  ///< tooth passing then
};

using Facts = std::vector<std::pair<std::string, std::string>>;
using Rows = std::vector<std::vector<std::string>>;

struct EpisodePart {
  std::string title;
  Facts facts;
  std::optional<EpisodeSound> sound;
  std::string no_sound;  ///< why there is no picture, when there is none
  std::vector<std::string> advice;
};

struct Content {
  std::string title, subtitle;
  std::string verdict;  ///< one plain sentence
  Facts cut;            ///< what was cut and with what
  Timeline timeline;
  std::vector<EpisodePart> episodes;
  std::string more_episodes;  ///< what was left out, when something was
  Rows trials;                ///< with a head row; empty: none
  Rows speeds;                ///< which speed held where, with a head row; empty: none
  std::string best_speed;     ///< what that table comes to
  std::vector<std::string> words;     ///< terms explained
  std::vector<std::string> held;      ///< speeds that held, with S and F words
  std::vector<std::string> other;     ///< what else was advised
  std::vector<std::string> warnings;  ///< what weakens all this
  std::vector<std::string> notes;     ///< the person's own
  std::vector<std::string> cautions;
  Facts made;  ///< version, settings, source: so that it can be made again
  std::string footer;
};

}  // namespace hushmill::report
