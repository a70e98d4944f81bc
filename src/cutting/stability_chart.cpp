#include "cutting/stability_chart.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <sstream>
#include <stdexcept>
#include <string>
#include <thread>

#include "cutting/zero_order.hpp"

namespace hushmill::cutting {
namespace {

constexpr double kSearchInLowest = 6;  // lowest limits
constexpr double kStepInLowest = 0.2;
constexpr double kDeepestMm = 50;

void within(const std::string& field, double value, double least, double most) {
  if (value >= least && value <= most) return;
  std::ostringstream line;
  line << field << " is " << value << "; " << least << " to " << most << " would be right";
  throw std::invalid_argument(line.str());
}

void check(const CutModel& model, double radial_mm, const ChartSettings& s) {
  check(model);
  within("radial_mm", radial_mm, 1e-6, model.cutter.diameter_mm);
  within("rpm_from", s.rpm_from, 10, 200000);
  within("rpm_to", s.rpm_to, s.rpm_from, 200000);
  within("speeds", s.speeds, 1, 100000);
  within("greatest_depth_mm", s.greatest_depth_mm, 0, 1000);
  within("depth_step_mm", s.depth_step_mm, 0, 1000);
  within("threads", s.threads, 0, 1024);
}

/// Threads that are waited for in any case, and told to stop if the work ends by an exception.
class Helpers {
 public:
  template <typename Work>
  Helpers(int count, std::atomic<bool>& stopped, const Work& work)
      : stopped_(stopped), exceptions_(std::uncaught_exceptions()) {
    for (int i = 0; i < count; ++i) threads_.emplace_back(work);
  }
  ~Helpers() {
    if (std::uncaught_exceptions() > exceptions_) stopped_ = true;
    for (std::thread& thread : threads_) thread.join();
  }
  Helpers(const Helpers&) = delete;
  Helpers& operator=(const Helpers&) = delete;

 private:
  std::atomic<bool>& stopped_;
  int exceptions_;
  std::vector<std::thread> threads_;
};

}  // namespace

StabilityChart stability_chart(const CutModel& model, double radial_mm, Milling milling, const ChartSettings& settings,
                               const std::function<bool(double)>& go_on) {
  check(model, radial_mm, settings);
  const ZeroOrder averaged(model, radial_mm, milling);
  const SemiDiscretization exact(model, radial_mm, milling, settings.semi_discretization);
  const double lowest_mm = averaged.lowest().depth_mm;
  StabilityChart chart;
  chart.greatest_depth_mm = settings.greatest_depth_mm;
  if (!(chart.greatest_depth_mm > 0)) {
    chart.greatest_depth_mm = lowest_mm > 0 ? std::min(kSearchInLowest * lowest_mm, kDeepestMm) : kDeepestMm;
  }
  double step_mm = settings.depth_step_mm;
  if (!(step_mm > 0)) step_mm = lowest_mm > 0 ? kStepInLowest * lowest_mm : 0.01 * chart.greatest_depth_mm;

  const int count = settings.speeds;
  std::vector<StabilityLimit> limits(static_cast<std::size_t>(count));
  std::vector<unsigned char> done(static_cast<std::size_t>(count));
  std::atomic<int> next{0};
  std::atomic<int> finished{0};
  std::atomic<bool> stopped{false};
  // A worker takes the next speed that nobody has; each writes only its own places.
  const auto work = [&](bool reporting) {
    while (!stopped) {
      const int i = next++;
      if (i >= count) return;
      const double share = count > 1 ? static_cast<double>(i) / (count - 1) : 0.0;
      const double rpm = settings.rpm_from + share * (settings.rpm_to - settings.rpm_from);
      const auto at = static_cast<std::size_t>(i);
      limits[at] = settings.method == StabilityMethod::zero_order ? averaged.limit(rpm, chart.greatest_depth_mm)
                                                                  : exact.limit(rpm, chart.greatest_depth_mm, step_mm);
      done[at] = 1;
      ++finished;
      if (reporting && go_on && !go_on(static_cast<double>(finished) / count)) stopped = true;
    }
  };
  const int cores = std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
  const int threads = std::min(settings.threads > 0 ? settings.threads : cores, count);
  {
    const Helpers helpers(threads - 1, stopped, [&work] { work(false); });
    work(true);
  }
  chart.complete = !stopped || finished == count;
  for (std::size_t i = 0; i < limits.size(); ++i) {
    if (done[i] != 0) chart.limits.push_back(limits[i]);
  }
  return chart;
}

}  // namespace hushmill::cutting
