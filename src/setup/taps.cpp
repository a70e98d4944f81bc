#include "setup/taps.hpp"

#include <fstream>
#include <sstream>

#include "setup/sheet.hpp"

namespace hushmill::setup {
namespace {

std::string_view trimmed(std::string_view line) {
  const auto from = line.find_first_not_of(" \t\r");
  return from == std::string_view::npos ? std::string_view{} : line.substr(from);
}

bool begins(std::string_view line, std::string_view with) { return trimmed(line).substr(0, with.size()) == with; }

// The text without the tables [[taps]] of that thing. A table ends at the first line that is no field.
std::string without_taps(const std::string& text, TappedOn on) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  std::string kept;
  for (std::size_t i = 0; i < lines.size();) {
    std::size_t end = i + 1;
    bool drop = false;
    if (begins(lines[i], "[[taps]]")) {
      for (; end < lines.size() && lines[end].find('=') != std::string::npos && !begins(lines[end], "#") && !begins(lines[end], "["); ++end)
        if (begins(lines[end], "on") && lines[end].find('"' + std::string(word(on)) + '"') != std::string::npos) drop = true;
    }
    for (std::size_t k = i; k < end && !drop; ++k) kept += lines[k] + "\n";
    if (drop && end < lines.size() && trimmed(lines[end]).empty()) ++end;  // the empty line that came with it
    i = end;
  }
  return kept;
}

}  // namespace

std::string_view word(TappedOn on) noexcept { return on == TappedOn::tool ? "tool" : on == TappedOn::part ? "part" : "machine"; }

std::vector<TappedMode> taps_of(Sheet& sheet) {
  std::vector<TappedMode> modes;
  for (Sheet& entry : sheet.parts("taps")) {
    TappedMode mode;
    const std::string on = entry.choice("on", {"tool", "part", "machine"});
    mode.on = on == "tool" ? TappedOn::tool : on == "part" ? TappedOn::part : TappedOn::machine;
    mode.natural_hz = entry.number("natural_hz", 1, 96000);
    mode.damping_ratio = entry.number("damping_ratio", 1e-5, 0.5);
    mode.natural_hz_spread = entry.maybe_number("natural_hz_spread", 0, 96000).value_or(0);
    mode.damping_ratio_spread = entry.maybe_number("damping_ratio_spread", 0, 0.5).value_or(0);
    mode.taps_agreeing = entry.has("taps_agreeing") ? entry.whole_number("taps_agreeing", 0, 10000) : 0;
    entry.refuse_the_rest();
    modes.push_back(mode);
  }
  return modes;
}

std::vector<TappedMode> load_taps(const std::filesystem::path& file) {
  Sheet sheet(file);
  return taps_of(sheet);
}

void save_taps(const std::filesystem::path& file, TappedOn on, const std::vector<TappedMode>& modes) {
  std::string text;
  if (std::filesystem::exists(file)) {
    load_taps(file);  // refuses what is not ours to change
    std::ostringstream read;
    read << std::ifstream(file, std::ios::binary).rdbuf();
    text = without_taps(read.str(), on);
    while (text.size() > 1 && text.substr(text.size() - 2) == "\n\n") text.pop_back();
  }
  std::ostringstream out;
  out.precision(7);
  out << text;
  for (const auto& mode : modes)
    out << (out.tellp() > 0 ? "\n" : "") << "[[taps]]\non = \"" << word(on) << "\"\nnatural_hz = " << mode.natural_hz << "\ndamping_ratio = " << mode.damping_ratio
        << "\nnatural_hz_spread = " << mode.natural_hz_spread << "\ndamping_ratio_spread = " << mode.damping_ratio_spread
        << "\ntaps_agreeing = " << mode.taps_agreeing << "\n";
  // Beside it first: a disk that is full must not cost the set-up.
  auto beside = file;
  beside += ".new";
  std::ofstream to(beside, std::ios::binary);
  to << out.str();
  to.close();
  std::error_code error;
  if (to) std::filesystem::rename(beside, file, error);
  if (!to || error) {
    std::filesystem::remove(beside, error);
    throw std::runtime_error("file '" + file.string() + "' cannot be written; a folder with space and permission would be right");
  }
}

}  // namespace hushmill::setup
