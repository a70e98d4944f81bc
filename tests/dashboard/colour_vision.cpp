#include "colour_vision.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace hushmill::test {
namespace {

using Matrix = std::array<double, 9>;
constexpr Matrix kNoRed{0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998};
constexpr Matrix kNoGreen{0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881};
constexpr Matrix kNoBlue{1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900};

// IEC 61966-2-1, 1999 (sRGB).
double linear(std::uint8_t part) noexcept {
  const double c = part / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double lab_part(double t) noexcept {
  constexpr double kDelta = 6.0 / 29;
  return t > kDelta * kDelta * kDelta ? std::cbrt(t) : t / (3 * kDelta * kDelta) + 4.0 / 29;
}

std::array<double, 3> lab(Light c) noexcept {
  // sRGB primaries to CIE XYZ (IEC 61966-2-1), over its white.
  const double x = lab_part((0.4124 * c.r + 0.3576 * c.g + 0.1805 * c.b) / 0.9505);
  const double y = lab_part(0.2126 * c.r + 0.7152 * c.g + 0.0722 * c.b);
  const double z = lab_part((0.0193 * c.r + 0.1192 * c.g + 0.9505 * c.b) / 1.0890);
  return {116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

}  // namespace

Light light_of(dashboard::Rgb colour) noexcept { return {linear(colour.r), linear(colour.g), linear(colour.b)}; }

Light seen(Light c, Vision vision) noexcept {
  if (vision == Vision::full) return c;
  const Matrix& m = vision == Vision::no_red ? kNoRed : vision == Vision::no_green ? kNoGreen : kNoBlue;
  const auto row = [&](std::size_t i) { return std::clamp(m[i] * c.r + m[i + 1] * c.g + m[i + 2] * c.b, 0.0, 1.0); };
  return {row(0), row(3), row(6)};
}

double distance(Light a, Light b) noexcept {
  const auto p = lab(a), q = lab(b);
  return std::hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
}

}  // namespace hushmill::test
