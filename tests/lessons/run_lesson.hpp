// A lesson that goes on for so many seconds, as a class would hear it.
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "lessons/lesson.hpp"

namespace hushmill::test {

/// The loudest sample of it.
inline float run(lessons::Lesson& lesson, double seconds) {
  std::vector<float> piece(2400);
  float loudest = 0;
  for (double left_s = seconds; left_s > 1e-9; left_s -= 0.05) {
    lesson.process(piece);
    for (const float sample : piece) loudest = std::max(loudest, std::abs(sample));
  }
  return loudest;
}

template <typename P>
P picture(const lessons::Lesson& lesson) {
  return std::get<P>(lesson.scene().picture);
}

}  // namespace hushmill::test
