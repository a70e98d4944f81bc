#include "bench/kept_sounds.hpp"

#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "capture/recording_writer.hpp"

namespace hushmill::bench {

void keep_sound(const std::string& name, std::span<const float> samples, double sample_rate_hz, double entered_rpm,
                int flutes, const std::string& remark) {
  const char* asked = std::getenv("HUSHMILL_HEARING_KEEP");
  if (asked == nullptr || *asked == '\0') return;
  const std::filesystem::path folder = asked;
  std::filesystem::create_directories(folder);
  std::string plain = name;
  for (char& c : plain)
    if (c == '/' || c == ' ' || c == '+') c = '-';
  capture::RecordingWriter writer(folder / (plain + ".wav"), {.sample_rate_hz = sample_rate_hz,
                                                              .channels = 1,
                                                              .depth = capture::SampleDepth::bits32,
                                                              .comment = "made by the benchmark"});
  writer.write(samples);
  writer.close();
  std::ofstream text(folder / (plain + ".txt"));
  text << fmt::format("hushmill review {}.wav --rpm {} --flutes {}\n{}\n", plain, entered_rpm, flutes, remark);
}

}  // namespace hushmill::bench
