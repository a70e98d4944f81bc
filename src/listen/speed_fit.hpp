// The spindle's true speed, from the sound: a comb of rotation and tooth multiples fitted to the lines of the long window.
//
// Searches ±3 % round the entered speed. Adopts a speed only when it stands clear of all others and stays put; until then
// `measured` is false and the entered speed is all there is. Delay: half a long window plus the rows it takes to agree.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "signal/lines.hpp"

namespace hushmill::listen {

class SpeedFit {
 public:
  SpeedFit();

  /// A newly entered speed or flute count: starts over.
  void expect(double spindle_rpm, int flutes) noexcept;
  /// The comb was seen to move by this factor, too quickly for the long window: goes on from there.
  void follow(double factor) noexcept;
  /// Lines of the next long-window row, any order. `singing`: chatter is open, so few lines of the comb may be left; what
  /// was found is then held, ever less sure.
  void process(std::span<const signal::Line> lines, double bin_hz, bool singing) noexcept;

  bool measured() const noexcept { return measured_; }
  /// Measured speed, else the entered one.
  double spindle_rpm() const noexcept { return measured_ ? middle_rpm_ * ratio_ : entered_rpm_; }
  /// One standard deviation relative to the speed; 1 % while nothing is measured.
  double relative_uncertainty() const noexcept { return measured_ ? uncertainty_ + drift_ : 0.01; }
  double rotation_hz() const noexcept { return spindle_rpm() / 60.0; }
  int flutes() const noexcept { return flutes_; }
  double tooth_hz() const noexcept { return rotation_hz() * flutes_; }

  /// Mean over the rows since `expect` in which the speed was measured, weighted by how sure each was.
  std::optional<double> mean_rpm() const noexcept;
  std::optional<double> mean_uncertainty_rpm() const noexcept;

  /// How well a speed and flute count explain the lines: capped decibels of the lines on its comb, less what chance gives.
  static double score(std::span<const signal::Line> lines, double bin_hz, double spindle_rpm, int flutes) noexcept;

 private:
  static constexpr std::size_t kSteps = 301;  // 0.97 to 1.03 in steps of 0.02 %
  void add_row(std::span<const signal::Line> lines, double bin_hz) noexcept;
  void refine(std::span<const signal::Line> lines, double bin_hz, double start_ratio) noexcept;

  double entered_rpm_ = 0;
  double middle_rpm_ = 0;  ///< of the search: the entered speed until the spindle was followed away from it
  int flutes_ = 1;
  std::array<double, kSteps> sum_{};
  std::array<double, kSteps> scratch_{};
  std::array<double, 4> recent_{};
  std::size_t rows_ = 0;
  bool measured_ = false;
  int doubtful_rows_ = 0;
  double ratio_ = 1;
  double uncertainty_ = 0.01;  ///< of the fit alone
  double drift_ = 0;           ///< how far the last rows disagree: the speed is still moving, or was just found
  double weight_sum_ = 0;
  double weighted_rpm_ = 0;
  double best_uncertainty_ = 1;
};

}  // namespace hushmill::listen
