#include "dashboard/report_file.hpp"

#include <filesystem>
#include <fstream>
#include <iomanip>
#include <sstream>
#include <stdexcept>

namespace hushmill::dashboard {

std::string report_text(const Report& report, int width_px, int height_px) {
  std::ostringstream out;
  out << std::fixed << std::setprecision(1);
  out << "window\t" << width_px << '\t' << height_px << '\n';
  for (const DrawnText& text : report.texts) {
    out << "text\t" << text.panel << '\t' << text.box.x << '\t' << text.box.y << '\t' << text.box.w << '\t'
        << text.box.h << '\t' << text.size_px << '\t' << (text.shortened ? "shortened" : "whole") << '\t' << text.text
        << '\n';
  }
  for (const DrawnMark& mark : report.marks) {
    out << "mark\t" << mark.panel << '\t' << mark.x << '\t' << mark.y << '\t' << mark.what << '\n';
  }
  return out.str();
}

void write_report(const std::string& file, const Report& report, int width_px, int height_px) {
  // Beside it first: whoever reads the file finds the old list or the new one, whole.
  const std::string fresh = file + ".new";
  std::error_code trouble;
  {
    std::ofstream out(fresh, std::ios::binary);
    out << report_text(report, width_px, height_px);
    out.flush();
    if (!out) throw std::runtime_error("Cannot write the list of drawn text to " + file + ".");
  }
  std::filesystem::rename(fresh, file, trouble);
  if (trouble) throw std::runtime_error("Cannot write the list of drawn text to " + file + ": " + trouble.message() + ".");
}

}  // namespace hushmill::dashboard
