// The one benchmark program: bench [SECTION ...] [--json FILE] [--list]
//
// Without a section all of them run. Exit codes: 0 all that is required was held, 1 something was not or could not be
// measured, 2 bad usage.
#include <cstdio>
#include <exception>
#include <fstream>
#include <nlohmann/json.hpp>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "bench/machine.hpp"
#include "bench/sections.hpp"

namespace hushmill::bench {
namespace {

using Json = nlohmann::ordered_json;

struct Wanted {
  std::vector<const Section*> sections;
  std::optional<std::string> json;
  bool list = false;
};

const Section& section_named(const std::string& name) {
  std::string known;
  for (const Section& section : sections()) {
    if (section.name == name) return section;
    known += (known.empty() ? "" : ", ") + std::string(section.name);
  }
  throw std::invalid_argument("section '" + name + "' is not known; of these one or more would be right: " + known);
}

Wanted wanted(int argc, const char* const* argv) {
  Wanted wanted;
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    if (word == "--list") {
      wanted.list = true;
    } else if (word == "--json") {
      if (i + 1 == argc) throw std::invalid_argument("--json names no file; --json FILE would be right");
      wanted.json = argv[++i];
    } else if (word.rfind("--", 0) == 0) {
      throw std::invalid_argument("option '" + word + "' is not known; --list or --json FILE would be right");
    } else {
      wanted.sections.push_back(&section_named(word));
    }
  }
  if (wanted.sections.empty())
    for (const Section& section : sections()) wanted.sections.push_back(&section);
  return wanted;
}

Json to_json(const Report& report) {
  Json figures = Json::array();
  for (const Figure& f : report.figures()) {
    const auto held = f.held();
    figures.push_back({{"name", f.name},
                       {"value", f.value},
                       {"unit", f.unit},
                       {"required", f.required ? Json(f.required->value) : Json(nullptr)},
                       {"side", f.required ? Json(f.required->word()) : Json(nullptr)},
                       {"held", held ? Json(*held) : Json(nullptr)}});
  }
  return {{"section", report.section()},
          {"processor", processor_name()},
          {"figures", figures},
          {"notes", Json(std::vector<std::string>(report.notes().begin(), report.notes().end()))}};
}

void write(const std::string& file, const Json& all) {
  std::ofstream out(file);
  out << all.dump(2) << "\n";
  out.flush();
  if (!out)
    throw std::runtime_error("--json: file '" + file + "' cannot be written; a folder with space would be right");
}

int run(const Wanted& wanted) {
  if (wanted.list) {
    for (const Section& section : sections())
      std::printf("%-10.*s %.*s\n", static_cast<int>(section.name.size()), section.name.data(),
                  static_cast<int>(section.what.size()), section.what.data());
    return 0;
  }
  std::printf("Processor: %s\n", processor_name().c_str());
  Json all = Json::array();
  bool held = true;
  for (const Section* section : wanted.sections) {
    Report report{std::string(section->name)};
    try {
      section->run(report);
    } catch (const std::exception& error) {
      std::fprintf(stderr, "bench: section %s: %s\n", report.section().c_str(), error.what());
      held = false;
    }
    held = held && report.all_held();
    all.push_back(to_json(report));
    if (wanted.json) write(*wanted.json, all);  // after every section: a long run that breaks off keeps what it has
  }
  return held ? 0 : 1;
}

}  // namespace
}  // namespace hushmill::bench

int main(int argc, char* argv[]) {
  try {
    return hushmill::bench::run(hushmill::bench::wanted(argc, argv));
  } catch (const std::invalid_argument& error) {
    std::fprintf(stderr, "bench: %s\n", error.what());
    return 2;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "bench: %s\n", error.what());
    return 1;
  }
}
