// The report as one HTML file or as a PDF. Both say the same; every text is escaped, nothing is fetched from anywhere.
#pragma once

#include <string>

#include "picture/pages.hpp"
#include "report/content.hpp"

namespace hushmill::report {

/// One file: style and pictures are inside, no script. Reads on a screen, prints on A4 and US letter.
std::string to_html(const Content& content);

/// Throws std::runtime_error when it cannot be made.
std::string to_pdf(const Content& content, picture::Paper paper);

/// The five signs that mean something in HTML written as references, in text and in attributes.
std::string escaped(const std::string& text);

}  // namespace hushmill::report
