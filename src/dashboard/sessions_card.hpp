// The list of what was kept, to be opened: sessions from the journal, newest first, narrowed by typed words; a typed
// path opens a file. Knows keys and lines, no disk and no drawing. Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dashboard/view_state.hpp"
#include "live/shelf.hpp"

namespace hushmill::dashboard {

/// What is to be opened.
struct KeptChoice {
  std::int64_t session = 0;  ///< 0: the file
  live::KeptSoundLine sound;
  std::string file;
};

class SessionsCard {
 public:
  struct Line {
    std::string when, what, length, chatter;
    bool can_open = false;
    KeptChoice choice;
  };

  /// True when other words than before are to be asked for.
  bool type(std::u32string_view typed);
  /// Backspace, Up, Down, PageUp, PageDown; true when other words than before are to be asked for.
  bool press(const std::string& key);
  void take(live::Shelf::Sessions sessions);
  void say(std::string trouble) {
    trouble_ = std::move(trouble);
    done_.clear();
  }
  /// Says what was done.
  void say_done(std::string done) {
    done_ = std::move(done);
    trouble_.clear();
  }
  void select(std::size_t line);

  /// The line that is selected, when it can be opened.
  std::optional<KeptChoice> chosen() const;
  /// The number of the session that is selected, whether its sound was kept or not; 0: none.
  std::int64_t session() const { return selected_ < lines_.size() ? lines_[selected_].choice.session : 0; }
  const std::string& words() const noexcept { return words_; }
  const std::vector<Line>& lines() const noexcept { return lines_; }
  std::size_t selected() const noexcept { return selected_; }
  const std::string& trouble() const noexcept { return trouble_; }
  const std::string& done() const noexcept { return done_; }
  bool answered() const noexcept { return answered_; }

 private:
  void lay_out();

  std::string words_;
  live::Shelf::Sessions sessions_;
  std::vector<Line> lines_;
  std::size_t selected_ = 0;
  std::string trouble_, done_;
  bool answered_ = false;
};

}  // namespace hushmill::dashboard
