#include "signal/fft.hpp"

#include <kiss_fftr.h>

#include <stdexcept>
#include <string>

namespace hushmill::signal {

namespace {
bool acceptable(std::size_t size) noexcept {
  if (size < 2 || size % 2 != 0) return false;
  for (const std::size_t factor : {2U, 3U, 5U})
    while (size % factor == 0) size /= factor;
  return size == 1;
}
}  // namespace

void RealFft::Free::operator()(void* plan) const noexcept { kiss_fftr_free(plan); }

RealFft::RealFft(std::size_t size_samples) : size_samples_(size_samples) {
  if (!acceptable(size_samples))
    throw std::invalid_argument("transform size is " + std::to_string(size_samples) +
                                "; an even size with no factors but 2, 3 and 5 would be right");
  plan_.reset(kiss_fftr_alloc(static_cast<int>(size_samples), 0, nullptr, nullptr));
  if (!plan_) throw std::bad_alloc();
}

void RealFft::process(std::span<const float> in, std::span<std::complex<float>> out) noexcept {
  static_assert(sizeof(kiss_fft_cpx) == sizeof(std::complex<float>));
  kiss_fftr(static_cast<kiss_fftr_cfg>(plan_.get()), in.data(), reinterpret_cast<kiss_fft_cpx*>(out.data()));
}

std::size_t fft_size_at_least(std::size_t size_samples) noexcept {
  std::size_t size = size_samples < 2 ? 2 : size_samples + size_samples % 2;
  while (!acceptable(size)) size += 2;
  return size;
}

}  // namespace hushmill::signal
