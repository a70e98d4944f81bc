// One line of text being typed: characters, caret, and whether the first key replaces everything. Pure.
#pragma once

#include <cstddef>
#include <string>

namespace hushmill::dashboard {

class LineEditor {
 public:
  /// Numbers and short words need no more than 32 characters; a path does.
  explicit LineEditor(std::size_t most_characters = 32) : most_(most_characters) {}

  /// Starts with the whole text selected: typing replaces it, moving the caret keeps it.
  void start(std::string text);
  /// A printable ASCII character; others and anything beyond the most are ignored.
  void type(char32_t character);
  /// "Backspace", "Delete", "Left", "Right", "Home", "End"; false when the key is none of these.
  bool press(const std::string& key);

  const std::string& text() const noexcept { return text_; }
  std::size_t caret() const noexcept { return caret_; }
  bool all_selected() const noexcept { return all_selected_; }

 private:
  std::size_t most_;
  std::string text_;
  std::size_t caret_ = 0;
  bool all_selected_ = false;
};

}  // namespace hushmill::dashboard
