// A document that flows over pages and becomes a PDF: headings, paragraphs, tables, figures. Text is set by Pango.
//
// What does not fit goes to the next page; a heading stays with what follows it, a figure and a table row are never cut. Lengths
// are points. `finish` hands out the bytes; nothing touches the disk. One thread.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "picture/canvas.hpp"

namespace hushmill::picture {

enum class Paper { a4, letter };

class Pages {
 public:
  /// `footer` stands under every page, with the page's number.
  Pages(Paper paper, const std::string& title, const std::string& footer);
  ~Pages();
  Pages(const Pages&) = delete;
  Pages& operator=(const Pages&) = delete;

  /// Width between the margins.
  double width() const noexcept;
  /// Level 1 is the title, 2 a chapter, 3 a part of it.
  void heading(const std::string& words, int level);
  void paragraph(const std::string& words, bool strong = false);
  /// What follows begins on a new page unless so much of it fits on this one.
  void keep_together(double height);
  /// First row bold. `shares` of the width, one a column, wider where a word would not fit; missing cells are empty.
  void table(const std::vector<double>& shares, const std::vector<std::vector<std::string>>& rows, bool first_is_head);
  /// Draws over the whole width at this height.
  void figure(double height, const std::function<void(Canvas&)>& draw);
  void space(double height);
  int pages() const noexcept;

  /// The whole document. Throws std::runtime_error when it cannot be made. Afterwards nothing may be added.
  std::string finish();

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::picture
