// What the terminal monitor says of the trials while they go on: when one begins, how long it has been quiet so far, and
// how it ended. Nobody can mark a lap there, so the whole stretch is taken as the pass, as in a review.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "listen/listener.hpp"
#include "trial/trial_book.hpp"

namespace hushmill::app {

class TrialLines {
 public:
  TrialLines(bool json, const listen::Listener& listener, const trial::TrialBook& book) : json_(json), listener_(listener), book_(book) {}

  /// What is new since the last call, as lines for standard output.
  std::vector<std::string> take();

 private:
  void say_ended(std::vector<std::string>& lines);
  void say_begun(std::vector<std::string>& lines);
  void say_turned(std::vector<std::string>& lines);
  void say_quiet(std::vector<std::string>& lines);

  bool json_;
  const listen::Listener& listener_;
  const trial::TrialBook& book_;
  std::size_t ended_ = 0;     // trials that were told of
  std::size_t stretches_ = 1;
  double looked_s_ = 0;
  double told_heard_rpm_ = 0;
  double told_quiet_s_ = 0;   // of the running trial
  double trial_from_s_ = 0;
};

}  // namespace hushmill::app
