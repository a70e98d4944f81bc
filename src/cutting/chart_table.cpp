#include "cutting/chart_table.hpp"

#include <iomanip>
#include <locale>
#include <sstream>

namespace hushmill::cutting {

const char* name_of(ChatterKind kind) noexcept { return kind == ChatterKind::hopf ? "hopf" : "period_doubling"; }

std::string chart_csv(const StabilityChart& chart, int flutes) {
  std::ostringstream text;
  text.imbue(std::locale::classic());
  text << std::fixed << "spindle_rpm,depth_limit_mm,searched_mm,chatter_hz,kind,tooth_passing_hz\n";
  for (const StabilityLimit& limit : chart.limits) {
    text << std::setprecision(1) << limit.spindle_rpm << ',' << std::setprecision(4);
    if (!limit.open) text << limit.depth_mm;
    text << ',' << chart.greatest_depth_mm << ',' << std::setprecision(2);
    if (!limit.open) text << limit.chatter_hz;
    text << ',' << (limit.open ? "" : name_of(limit.kind)) << ',' << flutes * limit.spindle_rpm / 60.0 << '\n';
  }
  return text.str();
}

}  // namespace hushmill::cutting
