// One line of text being typed: characters, caret, and whether the first key replaces everything. Pure.
#pragma once

#include <string>

namespace hushmill::dashboard {

class LineEditor {
 public:
  /// Starts with the whole text selected: typing replaces it, moving the caret keeps it.
  void start(std::string text);
  /// A printable ASCII character; others and anything beyond 32 characters are ignored (numbers and short words only).
  void type(char32_t character);
  /// "Backspace", "Delete", "Left", "Right", "Home", "End"; false when the key is none of these.
  bool press(const std::string& key);

  const std::string& text() const noexcept { return text_; }
  std::size_t caret() const noexcept { return caret_; }
  bool all_selected() const noexcept { return all_selected_; }

 private:
  static constexpr std::size_t kMostCharacters = 32;
  std::string text_;
  std::size_t caret_ = 0;
  bool all_selected_ = false;
};

}  // namespace hushmill::dashboard
