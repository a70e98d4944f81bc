#include "app/rig_file.hpp"

#include <cmath>
#include <cstdio>
#include <fstream>
#include <sstream>
#include <vector>

#include "capture/errors.hpp"
#include "capture/recording_writer.hpp"

namespace hushmill::app {

namespace {
constexpr double kBlockS = 0.001;
constexpr double kGapS = 0.05;  // a beat of the chatter, not its end

const char* path_word(rig::Path path) {
  switch (path) {
    case rig::Path::wall: return "wall";
    case rig::Path::slot: return "slot";
    case rig::Path::pocket: return "pocket with inside corners";
    case rig::Path::even_pocket: return "pocket at constant engagement";
  }
  return "";
}

std::string label(const RigOptions& options, const RigRecord& record) {
  const auto& s = options.settings;
  std::ostringstream text;
  text << "Simulated by hushmill rig; all data invented.\n"
       << "path: " << path_word(s.path.kind) << "\n"
       << "flutes: " << s.model.cutter.flutes << "\n"
       << "stickout_mm: " << s.mounting.tool.stickout_mm << "\n"
       << "diameter_mm: " << s.model.cutter.diameter_mm << "\n"
       << "milling: " << (s.milling == cutting::Milling::climb ? "climb" : "conventional") << "\n"
       << "spindle_rpm: " << s.start.spindle_rpm << "\n"
       << "speed_error_percent: " << s.spindle.speed_error_percent << "\n"
       << "depth_mm: " << s.start.depth_mm << "\n"
       << "radial_mm: " << s.start.radial_mm << "\n"
       << "feed_per_tooth_mm: " << s.start.feed_per_tooth_mm << "\n"
       << "seed: " << s.seed << "\n"
       << "sample_rate_hz: " << s.sample_rate_hz << "\n"
       << "duration_s: " << record.duration_s << "\n";
  if (!options.mounting_note.empty()) text << options.mounting_note << "\n";
  for (const auto& change : options.changes) {
    text << "at " << change.at_s << " s:";
    if (change.in_cut) text << (*change.in_cut ? " tool enters" : " tool leaves");
    if (change.spindle_rpm) text << " spindle_rpm " << *change.spindle_rpm;
    if (change.depth_mm) text << " depth_mm " << *change.depth_mm;
    if (change.radial_mm) text << " radial_mm " << *change.radial_mm;
    text << "\n";
  }
  text << "true_onset_s: ";
  if (record.onset_s())
    text << *record.onset_s()
         << " (vibration beyond that of the same cut without regeneration: out of step, more than 20 % of the energy in step;"
            " or more than twice as large with teeth out of the cut)\n";
  else
    text << "none\n";
  for (const auto& stretch : record.chatter) text << "true_chatter_s: " << stretch.start_s << " to " << stretch.end_s << "\n";
  return text.str();
}
}  // namespace

RigRecord write_rig(const RigOptions& options, double duration_s, const std::filesystem::path& out) {
  auto settings = options.settings;
  settings.smooth_twin = true;
  ScriptedRig source(settings, options.changes);
  const double rate = source.sample_rate_hz();
  RigRecord record;
  capture::RecordingWriter writer(out, {.sample_rate_hz = rate, .channels = 1, .depth = capture::SampleDepth::bits16,
                                        .comment = "simulated by hushmill rig, seed " + std::to_string(options.settings.seed)});
  std::vector<float> block(static_cast<std::size_t>(std::lround(kBlockS * rate)));
  const auto all = static_cast<std::int64_t>(std::llround(duration_s * rate));
  for (std::int64_t done = 0; done < all;) {
    const auto n = std::min(block.size(), static_cast<std::size_t>(all - done));
    source.read(std::span<float>(block).first(n));
    writer.write(std::span<const float>(block).first(n));
    done += static_cast<std::int64_t>(n);
    const double now_s = static_cast<double>(done) / rate;
    if (!source.truth().chatters) continue;
    auto& chatter = record.chatter;
    if (chatter.empty() || now_s - chatter.back().end_s > kGapS) chatter.push_back({now_s, now_s});
    chatter.back().end_s = now_s;
  }
  writer.close();
  record.duration_s = static_cast<double>(all) / rate;

  auto beside = out;
  beside.replace_extension(".txt");
  std::ofstream text(beside);
  text << label(options, record);
  text.flush();
  if (!text) throw capture::OutsideFailed("file '" + beside.string() + "' could not be written; a folder with room and leave to write would be right");
  return record;
}

}  // namespace hushmill::app
