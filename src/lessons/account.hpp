// The written account that goes with a lesson's recording: what was turned and done when, what the engine said, what
// was found out.
//
// Pure; times count from where the account began. One thread.
#pragma once

#include <string>
#include <vector>

#include "lessons/scene.hpp"

namespace hushmill::lessons {

class Account {
 public:
  /// Begins with the controls as they stand.
  explicit Account(const Scene& scene);

  /// After a control was turned or a deed done; `scene` is what came of it.
  void turned(const Scene& scene, std::size_t control);
  void done(const Scene& scene, std::size_t deed);
  /// The class sees it so many times slower from here on; sound and times stay the lesson's own. 1: as fast as it is.
  void slowed(const Scene& scene, double times);
  /// Now and then: what the engine says anew, and what was found out.
  void look(const Scene& scene);
  /// The whole text, for a person; ends in a line break.
  std::string text() const;

 private:
  void add(const Scene& scene, const std::string& what);

  double from_s_, to_s_;
  std::vector<std::string> lines_;
  std::vector<bool> solved_;
  listen::Verdict verdict_ = listen::Verdict::no_cut;
};

}  // namespace hushmill::lessons
