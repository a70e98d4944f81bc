// What a section of the benchmark is: a name, one line on what it measures, and a function that reports figures.
//
// To add one: write a file of that name with one function, name it in sections.hpp and list it in sections.cpp.
// A figure is always measured in the run that reports it. A section that cannot measure throws; it reports no guess.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace hushmill::bench {

/// What is asked of a figure.
struct Required {
  enum class Side { at_least, at_most } side = Side::at_least;
  double value = 0;

  const char* word() const noexcept { return side == Side::at_least ? "at least" : "at most"; }
};
inline Required at_least(double value) { return {Required::Side::at_least, value}; }
inline Required at_most(double value) { return {Required::Side::at_most, value}; }

struct Figure {
  std::string name;
  double value = 0;
  std::string unit;
  std::optional<Required> required;  ///< none: only a figure

  /// None where nothing is required. A value that is no number never holds.
  std::optional<bool> held() const noexcept;
};

/// Collects what one section found. Figures and notes are printed as they come, so that a long section shows its
/// progress.
class Report {
 public:
  explicit Report(std::string section);

  void figure(std::string name, double value, std::string unit, std::optional<Required> required = std::nullopt);
  /// A line for the reader: conditions, a row of a table.
  void note(std::string line);

  const std::string& section() const noexcept { return section_; }
  std::span<const Figure> figures() const noexcept { return figures_; }
  std::span<const std::string> notes() const noexcept { return notes_; }
  bool all_held() const noexcept;

 private:
  std::string section_;
  std::vector<Figure> figures_;
  std::vector<std::string> notes_;
};

struct Section {
  std::string_view name;
  std::string_view what;
  std::function<void(Report&)> run;
};

}  // namespace hushmill::bench
