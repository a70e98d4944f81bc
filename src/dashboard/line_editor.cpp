#include "dashboard/line_editor.hpp"

#include <utility>

namespace hushmill::dashboard {

void LineEditor::start(std::string text) {
  text_ = std::move(text);
  caret_ = text_.size();
  all_selected_ = !text_.empty();
}

void LineEditor::type(char32_t character) {
  if (character < 0x20 || character > 0x7E) return;
  if (std::exchange(all_selected_, false)) {
    text_.clear();
    caret_ = 0;
  }
  if (text_.size() >= most_) return;
  text_.insert(caret_, 1, static_cast<char>(character));
  ++caret_;
}

bool LineEditor::press(const std::string& key) {
  const bool was_all = all_selected_;
  if (key == "Backspace" || key == "Delete") {
    all_selected_ = false;
    if (was_all) {
      text_.clear();
      caret_ = 0;
    } else if (key == "Backspace" && caret_ > 0) {
      text_.erase(--caret_, 1);
    } else if (key == "Delete" && caret_ < text_.size()) {
      text_.erase(caret_, 1);
    }
    return true;
  }
  if (key == "Left" || key == "Home") {
    caret_ = key == "Home" || was_all ? 0 : caret_ - (caret_ > 0 ? 1 : 0);
  } else if (key == "Right" || key == "End") {
    caret_ = key == "End" || was_all ? text_.size() : caret_ + (caret_ < text_.size() ? 1 : 0);
  } else {
    return false;
  }
  all_selected_ = false;
  return true;
}

}  // namespace hushmill::dashboard
