#include "setup/cut_sheet.hpp"

#include <cctype>
#include <cmath>
#include <fstream>
#include <sstream>

#include "cutting/speeds.hpp"
#include "setup/setup.hpp"
#include "setup/sheet.hpp"

namespace hushmill::setup {
namespace {

using cutting::kMmPerInch;
constexpr int kVersion = 1;

/// A length or feed by either of its two endings, in mm; both are one too many.
std::optional<double> either(Sheet& sheet, const std::string& stem, const char* metric, const char* inch, double least_mm, double most_mm) {
  const auto mm = sheet.maybe_number(stem + metric, least_mm, most_mm);
  const auto in = sheet.maybe_number(stem + inch, least_mm / kMmPerInch, most_mm / kMmPerInch);
  if (mm && in) sheet.refuse(stem + inch, "there beside " + stem + metric, "one of the two");
  return mm ? mm : in ? std::optional(kMmPerInch * *in) : std::nullopt;
}

CutSheet of_setup(const std::filesystem::path& file) {
  const Setup setup = load_setup(file);
  CutSheet cut;
  cut.title = setup.title;
  cut.machine = setup.machine;
  cut.tool = setup.tool;
  cut.hold = setup.hold;
  cut.material = setup.material;
  cut.programmed_rpm = setup.spindle_rpm;
  cut.flutes = setup.model.cutter.flutes;
  cut.diameter_mm = setup.model.cutter.diameter_mm;
  cut.radial_mm = setup.radial_mm;
  if (setup.depth_mm > 0) cut.depth_mm = setup.depth_mm;
  cut.feed_mm_min = setup.feed_per_tooth_mm * cut.flutes * setup.spindle_rpm;
  cut.milling = setup.milling == cutting::Milling::climb ? "climb" : "conventional";
  cut.min_rpm = setup.min_rpm;
  cut.max_rpm = setup.max_rpm;
  cut.tool_max_rpm = setup.tool_max_rpm;
  cut.knob_step_percent = setup.knob_step_percent;
  return cut;
}

std::string in_quotes(const std::string& text) {
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') quoted += '\\';
    quoted += static_cast<unsigned char>(c) < 0x20 || c == 0x7F ? ' ' : c;  // TOML holds them escaped only
  }
  return quoted + "\"";
}

}  // namespace

CutSheet load_cut_sheet(const std::filesystem::path& file) {
  Sheet sheet(file);
  if (sheet.has("cut")) return of_setup(file);
  CutSheet cut;
  const double version = sheet.maybe_number("version", 0, 1e9).value_or(kVersion);
  if (version > kVersion) {
    std::ostringstream value;
    value << version << ", made by a newer Hushmill";
    sheet.refuse("version", value.str(), std::to_string(kVersion) + " or none");
  }
  cut.title = sheet.text("title");
  for (auto& [key, text] : {std::pair<const char*, std::string*>{"machine", &cut.machine}, {"tool", &cut.tool}, {"hold", &cut.hold},
                            {"material", &cut.material}, {"room", &cut.room}})
    *text = sheet.maybe_text(key).value_or("");
  cut.programmed_rpm = sheet.number("programmed_rpm", 10, 200000);
  cut.override_percent = sheet.maybe_number("override_percent", 1, 500).value_or(100);
  cut.flutes = sheet.whole_number("flutes", 1, 64);
  cut.diameter_mm = either(sheet, "diameter", "_mm", "_in", 0.01, 2000);
  cut.radial_mm = either(sheet, "radial", "_mm", "_in", 0.001, 2000);
  cut.depth_mm = either(sheet, "depth", "_mm", "_in", 0.001, 500);
  cut.feed_mm_min = either(sheet, "feed", "_mm_min", "_in_min", 0.01, 1000000);
  if (sheet.has("milling")) cut.milling = sheet.choice("milling", {"climb", "conventional"});
  cut.min_rpm = sheet.maybe_number("min_rpm", 1, 200000);
  cut.max_rpm = sheet.maybe_number("max_rpm", cut.min_rpm.value_or(1), 200000);
  cut.tool_max_rpm = sheet.maybe_number("tool_max_rpm", 1, 200000);
  cut.knob_step_percent = sheet.maybe_number("knob_step_percent", 0.1, 50);
  cut.damping_ratio = sheet.maybe_number("damping_ratio", 0.0005, 0.5);
  sheet.refuse_the_rest();
  return cut;
}

std::string cut_sheet_text(const CutSheet& cut, LengthUnit unit) {
  std::ostringstream text;
  text.precision(10);
  text << "# A cut as it was entered at the machine. Lengths in mm or in inches, by the ending of each field.\nversion = " << kVersion << "\n";
  for (const auto& [key, value] : {std::pair<const char*, const std::string&>{"title", cut.title}, {"machine", cut.machine}, {"tool", cut.tool},
                                   {"hold", cut.hold}, {"material", cut.material}, {"room", cut.room}})
    if (!value.empty()) text << key << " = " << in_quotes(value) << "\n";
  text << "\nprogrammed_rpm = " << cut.programmed_rpm << "\noverride_percent = " << cut.override_percent << "\nflutes = " << cut.flutes << "\n";
  const bool inch = unit == LengthUnit::inch;
  const auto length = [&](const char* stem, const char* metric, const char* inches, const std::optional<double>& mm) {
    if (mm) text << stem << (inch ? inches : metric) << " = " << (inch ? *mm / kMmPerInch : *mm) << "\n";
  };
  length("diameter", "_mm", "_in", cut.diameter_mm);
  length("radial", "_mm", "_in", cut.radial_mm);
  length("depth", "_mm", "_in", cut.depth_mm);
  length("feed", "_mm_min", "_in_min", cut.feed_mm_min);
  if (!cut.milling.empty()) text << "milling = " << in_quotes(cut.milling) << "\n";
  const auto number = [&](const char* key, const std::optional<double>& value) {
    if (value) text << key << " = " << *value << "\n";
  };
  number("min_rpm", cut.min_rpm);
  number("max_rpm", cut.max_rpm);
  number("tool_max_rpm", cut.tool_max_rpm);
  number("knob_step_percent", cut.knob_step_percent);
  number("damping_ratio", cut.damping_ratio);
  return text.str();
}

void save_cut_sheet(const CutSheet& sheet, LengthUnit unit, const std::filesystem::path& file) {
  const auto failed = [&] { return BadSetup(file.string() + ": cannot be written; a folder with space and write permission would be right"); };
  std::error_code error;
  std::filesystem::create_directories(file.parent_path(), error);
  const std::filesystem::path beside(file.string() + ".part");
  {
    std::ofstream out(beside, std::ios::binary);
    out << cut_sheet_text(sheet, unit);
    out.flush();
    if (!out) {
      std::filesystem::remove(beside, error);
      throw failed();
    }
  }
  std::filesystem::rename(beside, file, error);
  if (error) throw failed();
}

std::string file_name_for(const std::string& title) {
  std::string name;
  for (const char c : title) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x80 && std::isalnum(byte) != 0)
      name += static_cast<char>(std::tolower(byte));
    else if (!name.empty() && name.back() != '-')
      name += '-';
  }
  while (!name.empty() && name.back() == '-') name.pop_back();
  return (name.empty() ? std::string("cut") : name.substr(0, 80)) + ".toml";
}

}  // namespace hushmill::setup
