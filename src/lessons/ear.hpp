// The real engine beside a lesson: it hears the same sound as the class and says whether the cut chatters.
//
// After something was turned it waits until spindle, slides and sound have settled; then it counts. Allocates. One
// thread.
#pragma once

#include <span>

#include "lessons/scene.hpp"
#include "listen/listener.hpp"

namespace hushmill::lessons {

class Ear {
 public:
  Ear(double spindle_rpm, int flutes, int pattern_teeth = 1);

  void process(std::span<const float> sound);
  /// Another speed is true from now on.
  void set_spindle_rpm(double spindle_rpm) { listener_.set_spindle_rpm(spindle_rpm); }
  /// Something was turned: what is judged begins anew, after `settle_s`.
  void begin(double settle_s);

  /// Chatters after a third of a second of it; quiet after two seconds of cut with none.
  Outcome outcome() const noexcept;
  Heard heard() const;
  const listen::Findings& findings() const noexcept { return listener_.findings(); }
  double t_s() const noexcept { return listener_.snapshot().t_s; }

 private:
  listen::Listener listener_;
  double counts_from_s_ = 0, last_s_ = 0, quiet_s_ = 0, chatter_s_ = 0;
};

}  // namespace hushmill::lessons
