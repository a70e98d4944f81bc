// The sound of the shop without the cut: mean power per bin while no cut is heard. Slow changes are followed; a sudden rise
// is believed slowly, since it may be a cut that was not recognised yet.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace hushmill::listen {

class Room {
 public:
  Room(std::size_t bins, double row_s);

  /// Next row heard with no cut.
  void process(std::span<const float> power) noexcept;

  /// Takes over what another room learned with bins `width` times narrower: the level of noise goes with the width.
  void take_over(const Room& other, double width) noexcept;
  /// What was learned in the last seconds was a cut that nobody recognised: back to what was known before it.
  void step_back() noexcept;

  /// True once a second of room was heard.
  bool known() const noexcept { return heard_s_ >= 1.0; }
  double heard_s() const noexcept { return heard_s_; }
  /// Mean power per bin as it was one to two and a half seconds ago, so that a cut nobody has recognised yet is not part of it; as it
  /// is now while less than that was heard. Zeros before the first row.
  std::span<const float> power() const noexcept { return kept_ < 2 ? power_ : older_; }

 private:
  double total() const noexcept;

  double row_s_;
  double heard_s_ = 0;
  double level_ = 0;
  std::vector<float> power_;
  int kept_ = 0;               // how often one of the two below was
  double kept_s_ = 0;          // since the newer of the two was
  std::vector<float> newer_;
  std::vector<float> older_;
};

}  // namespace hushmill::listen
